/** A draft as terminal text: what is short first, then the addresses of each network, then who needs them. */
import type { DraftDevice } from '../draft/count.js';
import type { Draft } from '../draft/draft.js';
import { amountWords } from '../text/amount.js';
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
    draft.suffices ? cableLines(draft, style) : '',
    draft.suffices ? eyesLine(draft, style) : '',
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
    ...[one.usable, one.reserved, one.inUse, one.free, one.needed].map(amountWords),
    one.short > 0 ? `${one.short} short` : amountWords(one.left),
  ]);
  return `${ink(style, 'Networks', 'bold')}\n${columns(HEADS, rows, 2)}`;
}

/** How many cables each switch takes; nothing where the list has no switches with ports. */
function cableLines({ endpoints }: Draft, style: TextStyle): string {
  const cables = new Map<string, number>();
  for (const { switchPorts } of endpoints)
    for (const { switch: name } of switchPorts) cables.set(name, (cables.get(name) ?? 0) + 1);
  if (cables.size === 0) return '';
  const each = [...cables].map(([name, amount]) => `${plain(style, cleanText(name, 40))} ${amount}`);
  return `${ink(style, 'Cables', 'bold')}\n${wrap(style, `${list(each)}. The list says which port each gets.`, '  ', '  ')}`;
}

function eyesLine({ plan }: Draft, style: TextStyle): string {
  const what = `${count(plan.observe.length, 'thing')} that only eyes can prove, by step of the visit, in eyes.csv.`;
  return `${ink(style, 'To look at', 'bold')}\n${wrap(style, what, '  ', '  ')}${CAUTIONS.map((line) => wrap(style, line, '  ', '  ')).join('')}`;
}

/** Common practice of the trade; IEC 60825-1 for laser sources (from memory). */
const CAUTIONS = [
  'Lifting needs two people. Anchor the rack before anything slides out; heaviest lowest.',
  'Optical ports are laser sources: never look into a port or a fibre end, keep the dust caps on.',
  'Work on mains power is for licensed people.',
];

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
