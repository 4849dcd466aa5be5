/** Rack elevations from the front: units counted from 1 at the bottom (EIA-310-D counts so; common practice). */

import type { EndpointVerdict, Matrix } from '../matrix/matrix.js';
import type { Device } from '../plan/model.js';
import { groupBy } from '../text/group-by.js';
import { naturalOrder } from '../text/sentence.js';
import { text } from './markup.js';

const UNIT_HEIGHT = 17;
const RAIL = 30;
const WIDTH = 250;
/** A plan that places something above this has a wrong unit, which is a finding; the drawing stays finite. */
const TALLEST = 60;
const WORST: readonly EndpointVerdict[] = ['missing', 'differs', 'unproven', 'matches'];

type Placed = Device & {
  readonly rack: string;
  readonly units: { readonly from: number; readonly to: number };
};

export function racksSection(matrix: Matrix): string {
  const placed = matrix.plan.model.devices.filter(isPlaced);
  if (placed.length === 0) return '';
  const verdicts = new Map(
    [...groupBy(matrix.endpoints, ({ device }) => device)].map(([device, endpoints]) => [
      device,
      WORST.find((verdict) => endpoints.some((endpoint) => endpoint.verdict === verdict)),
    ]),
  );
  const racks = [...groupBy(placed, ({ rack }) => rack)].sort(([a], [b]) => naturalOrder(a, b));
  return `<div class="racks">${racks.map(([name, devices], index) => elevation(name, devices, index + 1, verdicts)).join('\n')}</div>`;
}

function isPlaced(device: Device): device is Placed {
  return device.rack !== undefined && device.units !== undefined;
}

function elevation(
  name: string,
  devices: readonly Placed[],
  number: number,
  verdicts: ReadonlyMap<string, EndpointVerdict | undefined>,
): string {
  const top = Math.min(TALLEST, Math.max(...devices.map(({ units }) => units.to)) + 1);
  const height = top * UNIT_HEIGHT;
  const ordered = [...devices].sort((a, b) => b.units.from - a.units.from);
  const y = (unit: number): number => height - unit * UNIT_HEIGHT + 1;
  const rails = Array.from(
    { length: top },
    (_, index) => `<text class="u" x="${RAIL - 6}" y="${y(index + 1) + 12}">${index + 1}</text>`,
  ).join('');
  const grid = Array.from(
    { length: top + 1 },
    (_, index) => `M${RAIL} ${index * UNIT_HEIGHT + 1}H${WIDTH}`,
  ).join('');
  const lanes = lanesOf(ordered);
  const boxes = ordered
    .map((device) => box(device, y, lanes.get(device.name) ?? { lane: 0, of: 1 }, verdicts))
    .join('');
  const words = ordered
    .map((device) => `${device.name} in ${unitWords(device)}${portsWords(verdicts.get(device.name))}`)
    .join('; ');
  return `<figure class="rack"><figcaption>Rack ${text(name, 60)}</figcaption><svg role="img" aria-labelledby="rt${number} rd${number}" viewBox="0 0 ${WIDTH + 1} ${height + 2}" width="${WIDTH + 1}" height="${height + 2}"><title id="rt${number}">Rack ${text(name, 60)}, front</title><desc id="rd${number}">From the top: ${text(words, 1500)}.</desc><path class="grid" d="${grid}M${RAIL} 1V${height + 1}M${WIDTH} 1V${height + 1}"/>${rails}${boxes}</svg></figure>`;
}

/** A verdict is of ports: the device stands there whatever they say. */
function portsWords(verdict: EndpointVerdict | undefined): string {
  if (verdict === undefined || verdict === 'matches') return '';
  return verdict === 'unproven' ? ', not all ports proven' : ', not all ports as planned';
}

function unitWords({ units }: Placed): string {
  return units.from === units.to
    ? `unit ${Number(units.from)}`
    : `units ${Number(units.from)} to ${Number(units.to)}`;
}

/** Devices that claim the same units stand side by side instead of hiding each other. */
function lanesOf(devices: readonly Placed[]): ReadonlyMap<string, { lane: number; of: number }> {
  const lanes = new Map<string, { lane: number; of: number }>();
  for (const device of devices) {
    const sharing = devices.filter(
      ({ units }) => units.from <= device.units.to && device.units.from <= units.to,
    );
    lanes.set(device.name, { lane: sharing.indexOf(device), of: sharing.length });
  }
  return lanes;
}

function box(
  device: Placed,
  y: (unit: number) => number,
  { lane, of }: { lane: number; of: number },
  verdicts: ReadonlyMap<string, EndpointVerdict | undefined>,
): string {
  const verdict = verdicts.get(device.name);
  const width = (WIDTH - RAIL - 4) / of;
  const x = RAIL + 2 + lane * width;
  const to = Math.min(TALLEST, device.units.to);
  const from = Math.min(to, device.units.from);
  const top = y(to) + 1;
  const height = (to - from + 1) * UNIT_HEIGHT - 2;
  const feeds = device.feeds.length === 0 || of > 1 ? '' : `\u00a0· feed ${device.feeds.join(' + ')}`;
  const label = device.name;
  const cutLabel = [...label].slice(0, Math.floor(width / 8)).join('');
  const drawn = `<rect class="unit ${verdict ?? ''}" x="${x}" y="${top}" width="${width}" height="${height}"/><text x="${x + 8}" y="${top + height / 2 + 4}">${text(cutLabel, 90)}<tspan class="feed">${text(cutLabel.length < label.length ? '' : feeds, 40)}</tspan></text>`;
  return `<g><title>${text(device.name, 90)}, ${unitWords(device)}</title>${drawn}</g>`;
}
