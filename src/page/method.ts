/** How it was measured: where from, with what abilities, and what could therefore not be excluded. */
import type { Matrix } from '../matrix/matrix.js';
import type { Ability, Evidence } from '../sighting/types.js';
import { groupBy } from '../text/group-by.js';
import { count, ended, list } from '../text/sentence.js';
import { code, items, table, text } from './markup.js';
import type { Places } from './places.js';
import { timeSpan } from './time.js';

const ENDPOINTS_NAMED = 6;

export function methodSection(matrix: Matrix, { zoneMinutes }: Places): string {
  const evidence = matrix.evidence.map((one) => vantageBlock(one, zoneMinutes)).join('\n');
  const bare = matrix.evidence.length > 0 ? '' : vantageList(matrix);
  return `<p>Everything was asked read only: no setting was changed and no login was tried. A fact rests on the vantage that could see most of it.</p>
${evidence}${bare}
<h4>What could not be excluded</h4>
${items(notExcluded(matrix)) || '<p>Nothing is known to have stayed hidden from these vantages.</p>'}`;
}

function vantageList({ vantages }: Matrix): string {
  return items(vantages.map(({ name, platform }) => `<b>${text(name, 80)}</b>: ${text(platform, 120)}`));
}

function vantageBlock(evidence: Evidence, zoneMinutes: number): string {
  const { vantage } = evidence;
  if (evidence.failed !== undefined)
    return `<section class="vantage"><h4>Not from ${text(vantage.name, 80)}</h4>
${items(evidence.notes.map((note) => text(note)))}</section>`;
  const interfaces = vantage.interfaces.map(
    ({ name, mac, addresses, up }) =>
      `${code(name, 60)} ${code(mac, 60)} ${addresses.map((address) => code(address, 60)).join(' ')}${up ? '' : ' (down)'}`,
  );
  const { abilities } = vantage;
  const named: readonly (readonly [string, Ability, string])[] = [
    ['ping', abilities.ping, 'ICMP echo and path MTU'],
    ['capture', abilities.capture, 'every ARP reply, so that two devices on one address show themselves'],
    ['arping', abilities.arping, 'a second way to ask who claims an address'],
    ['neighbour table', abilities.neighbourTable, 'who claims an address, without rights'],
  ];
  const rows = named.map(([name, ability, use]) => [text(name), text(use), abilityWords(ability)]);
  const notes = evidence.notes.map((note) => text(note));
  return `<section class="vantage"><h4>From ${text(vantage.name, 80)}</h4>
<p>${vantage.from === undefined ? '' : `${code(vantage.from, 120)}; `}${text(vantage.platform, 160)}; ${timeSpan(evidence.startedAt, evidence.finishedAt, zoneMinutes)}${evidence.complete ? '' : '; <b>cut short</b>'}; ${abilities.privileged ? 'with' : 'without'} administrator rights.</p>
${items(interfaces, 'tight')}
${table(`What ${vantage.name} could do`, ['Means', 'Shows', 'Here'], rows)}
${items(notes)}</section>`;
}

function abilityWords(ability: Ability): string {
  if (ability.able)
    return `<b>=</b> able${ability.version === undefined ? '' : `, ${text(ability.version, 80)}`}`;
  return `<b class="u">?</b> not able: ${text(ability.reason)}${ability.mend === undefined ? '' : ` To fix it: ${code(ability.mend)}`}`;
}

function notExcluded(matrix: Matrix): string[] {
  const unknownRoutes = matrix.evidence.flatMap(({ vantage }) =>
    vantage.routesUnknown === undefined
      ? []
      : [`${text(vantage.name, 80)} could not read its routes: ${text(vantage.routesUnknown)}`],
  );
  return [
    ...hiddenSeconds(matrix),
    ...unprovenReasons(matrix),
    ...unknownRoutes,
    ...proxies(matrix),
    ...truncated(matrix),
  ];
}

/** Where a second device on one address could stay hidden, by reason. */
function hiddenSeconds({ endpoints }: Matrix): string[] {
  const open = endpoints.flatMap(({ id, sightings }) =>
    sightings.flatMap(({ presence, vantage }) =>
      presence.outcome === 'claimed' && presence.duplicateCheck !== 'proven'
        ? [
            {
              id,
              reason: `From ${vantage}: ${presence.duplicateCheckReason ?? 'only the neighbour table was at hand'}`,
            },
          ]
        : [],
    ),
  );
  return [...groupBy(open, ({ reason }) => reason)].map(
    ([reason, own]) =>
      `A second device on the same address could stay hidden at ${named(own.map(({ id }) => id))}. ${text(reason)}`,
  );
}

function unprovenReasons({ endpoints }: Matrix): string[] {
  const unproven = endpoints
    .filter(({ verdict }) => verdict === 'unproven')
    .flatMap(({ id, reasons }) =>
      (reasons.length === 0 ? ['no reason was recorded'] : reasons).map((reason) => ({ id, reason })),
    );
  return [...groupBy(unproven, ({ reason }) => reason)].map(
    ([reason, own]) => `Unproven: ${named(own.map(({ id }) => id))}; why: ${text(ended(reason))}`,
  );
}

function proxies({ evidence }: Matrix): string[] {
  return evidence.flatMap(({ proxyArp }) =>
    proxyArp
      .filter(({ answeredBy }) => answeredBy.length > 0)
      .map(
        ({ network, mac, askedAddress }) =>
          `On ${text(network, 80)}, ${code(mac, 60)} also claims ${code(askedAddress, 60)}, which the plan does not have: something answers for everything there.`,
      ),
  );
}

function truncated({ evidence }: Matrix): string[] {
  return evidence.flatMap(({ links, switches }) => [
    ...links.flatMap(({ device, truncated: why }) =>
      why === undefined ? [] : [`Ports of ${text(device, 80)} were read in part: ${text(why)}`],
    ),
    ...switches.flatMap((each) =>
      each.truncated === undefined
        ? []
        : [`Tables of ${text(each.switch, 80)} were read in part: ${text(each.truncated)}`],
    ),
  ]);
}

function named(ids: readonly string[]): string {
  const unique = [...new Set(ids)];
  if (unique.length > ENDPOINTS_NAMED * 2)
    return `${count(unique.length, 'endpoint')}, the first being ${text(unique[0] ?? '', 120)}`;
  return text(list(unique, ENDPOINTS_NAMED * 2), 1200);
}
