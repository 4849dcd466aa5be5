import { sayPort } from '../cabling/port-name.js';
import type { Difference, EndpointResult, EndpointSighting } from '../matrix/matrix.js';
import type { Endpoint } from '../plan/model.js';
import { formatSpeed } from '../plan/speed.js';
import type { LinkSighting } from '../sighting/types.js';
import type { Cell } from './cell.js';

/**
 * Link, speed, MTU, switch port and portals of an endpoint in one cell; what is not as planned with both values. What the judge found
 * about link and cable stands at the endpoint's first sighting, as they do.
 */
export function pathCell(
  endpoint: EndpointResult,
  sighting: EndpointSighting,
  planned: Endpoint | undefined,
): Cell {
  const { link, mtu, cabling, iscsi } = sighting;
  const differences = endpoint.sightings[0] === sighting ? endpoint.differences : [];
  const wrong = (field: string): Difference | undefined => differences.find((one) => one.field === field);
  const parts: string[] = [];
  let held = 0;
  const down = wrong('link');
  if (down !== undefined) parts.push(`link ${down.measured}`);
  else if (isLink(link) && link.operStatus !== undefined) parts.push(`link ${link.operStatus}`);
  const slow = wrong('speed');
  if (slow !== undefined) parts.push(`${slow.measured} of ${slow.planned}`);
  else if (isLink(link) && link.speedMbps !== undefined && link.speedMbps > 0)
    parts.push(formatSpeed(link.speedMbps));
  if (isLink(link) && planned?.speedMbps !== undefined) held += 1;
  const small = wrong('mtu');
  if (small !== undefined) parts.push(`MTU ${small.measured} of ${small.planned}`);
  else if (mtu.outcome === 'passes') parts.push(`MTU ${mtu.mtu}`);
  else if (mtu.outcome === 'smaller') parts.push(`MTU ${mtu.mtu} of ${mtu.asked}`);
  if (mtu.outcome === 'passes' || mtu.outcome === 'smaller') held += 1;
  const misplaced = wrong('switch port');
  if (misplaced !== undefined) parts.push(placeText(misplaced));
  else if (cabling !== undefined) parts.push(`at ${cabling.switch} ${sayPort(cabling.port)}`);
  if (cabling !== undefined && planned?.switch !== undefined) held += 1;
  const portals = wrong('portals');
  if (portals !== undefined)
    parts.push(portals.measured === 'not listed' ? 'portal not listed' : portals.measured);
  else if (iscsi.outcome === 'listed') parts.push('portals listed');
  if (iscsi.outcome === 'listed') held += 1;
  if ([down, slow, small, misplaced, portals].some((one) => one !== undefined))
    return { mark: 'differs', text: parts.join(', ') };
  if (parts.length > 0) return { mark: held > 0 ? 'matches' : 'told', text: parts.join(', ') };
  const expects = planned?.speedMbps ?? planned?.mtu ?? planned?.switch;
  return expects === undefined ? { text: '–' } : { mark: 'unproven', text: 'not shown' };
}

/** `at data-switch-a port 13, planned port 12`; the partner of a swap and what lies beyond a port stand in the finding. */
function placeText({ measured, planned }: Difference): string {
  const [place = measured] = measured.split(/, swapped with | or beyond it /);
  const there = place.split(' ')[0] ?? '';
  const short = planned.startsWith(`${there} `) ? planned.slice(there.length + 1) : planned;
  return `at ${place}, planned ${short}`;
}

export function isLink(link: EndpointSighting['link']): link is LinkSighting {
  return 'ifIndex' in link;
}
