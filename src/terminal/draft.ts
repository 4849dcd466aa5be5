/** A draft as terminal text: what is short first, then the addresses of each network, then who needs them. */
import type { DraftDevice } from '../draft/count.js';
import type { Draft } from '../draft/draft.js';
import { cleanText } from '../text/clean.js';
import { capital, count, list } from '../text/sentence.js';
import { renderFindings } from './findings.js';
import { ink, plain, type TextStyle } from './style.js';
import { columns, wrap } from './wrap.js';

const HEADS = ['Network', 'Range', 'Usable', 'Reserved', 'In use', 'Free', 'Needed', 'Left'] as const;

export function renderDraft(draft: Draft, style: TextStyle): string {
  const needed = draft.devices.reduce((sum, device) => sum + device.needed, 0);
  const verdict = draft.suffices
    ? 'The networks have them.'
    : 'The networks do not have them: no list was written.';
  const parts = [
    renderFindings(draft.findings, style),
    networkTable(draft, style),
    `${ink(style, 'Addresses needed', 'bold')}\n${deviceLines(draft.devices, style)}`,
    ink(
      style,
      wrap(
        style,
        `${draft.site.name}: ${count(needed, 'address', 'addresses')} for ${count(draft.devices.length, 'device')}. ${verdict}`,
      ).trimEnd(),
      ...(draft.suffices ? (['bold'] as const) : (['bold', 'red'] as const)),
    ).concat('\n'),
  ];
  return parts.filter((part) => part !== '').join('\n');
}

function networkTable({ networks }: Draft, style: TextStyle): string {
  if (networks.length === 0) return '';
  const rows = networks.map((one) => [
    plain(style, cleanText(one.network, 40)),
    one.cidr,
    ...[one.usable, one.reserved, one.inUse, one.free, one.needed].map(String),
    one.short > 0 ? `${one.short} short` : String(one.left),
  ]);
  return `${ink(style, 'Networks', 'bold')}\n${columns(HEADS, rows, 2)}`;
}

/** Devices that need the same are said together. */
function deviceLines(devices: readonly DraftDevice[], style: TextStyle): string {
  const alike = new Map<string, string[]>();
  for (const device of devices) {
    const needs = needsOf(device);
    alike.set(needs, [...(alike.get(needs) ?? []), device.device]);
  }
  return [...alike]
    .map(([needs, names]) =>
      wrap(style, `${list(names)}: ${names.length > 1 ? 'each ' : ''}${needs}`, '  ', '      '),
    )
    .join('');
}

function needsOf({ needed, controllers, networks }: DraftDevice): string {
  if (needed === 0) return 'none';
  const inNetworks = Object.entries(networks).map(([network, amount]) => `${amount} in ${network}`);
  const byController = controllers.map(({ controller, needed: own }) =>
    controller === '' ? `the device itself ${own}` : `controller ${controller} ${own}`,
  );
  const split =
    controllers.length === 1 && controllers[0]?.controller === '' ? '' : `. ${capital(list(byController))}`;
  return `${needed} (${list(inNetworks)})${split}`;
}
