/**
 * A device, or a controller of one, that is there and of which no planned service answers anywhere: one fault, and what is silent at each
 * of its addresses follows from it. Whoever answers anything but an echo at any address is no such device: there a port has its own fault.
 */
import { anyAnswer } from '../evidence/responses.js';
import type { Judged } from '../facts/ledger.js';
import type { Situation } from '../facts/situation.js';
import { type Finding, finding } from '../findings/index.js';
import type { Endpoint } from '../plan/model.js';
import { type EvidenceLine, seenLine } from '../sighting/evidence-line.js';
import { list } from '../text/sentence.js';

/** With fewer addresses than this, one service that is off is as likely, unless they are all that it has (common practice, no source). */
const TELLING = 3;
const FEWEST = 2;

interface One {
  readonly situation: Situation;
  readonly outcome: Pick<Judged, 'facts'>;
}

export function judgeSilentDevices(judged: readonly One[]): Finding[] {
  const own = judged.filter(
    ({ situation: { endpoint } }) => endpoint.address !== undefined && !endpoint.virtual,
  );
  return [...groupedBy(own, ({ device }) => device)].flatMap(([device, all]) => {
    const whole = silentUnit(device, all);
    if (whole !== undefined) return [whole];
    // Where one controller answers, another may be such a device by itself.
    const controllers = groupedBy(all, ({ controller }) => controller ?? '');
    return [...controllers].flatMap(([controller, its]) =>
      controller === '' ? [] : (silentUnit(`${device}/${controller}`, its) ?? []),
    );
  });
}

/** `unit`: the device, or a controller of it. */
function silentUnit(unit: string, all: readonly One[]): Finding | undefined {
  const there = all.filter(isThere);
  if (there.some(({ situation }) => saysAnything(situation))) return undefined;
  const least = addressesOf(all).size === FEWEST ? FEWEST : TELLING;
  const silent = there.filter(isSilent);
  const [best] = silent.flatMap(({ situation }) => situation.best ?? []);
  const about = there.map(({ situation }) => situation.endpoint.id);
  if (addressesOf(silent).size >= least)
    return finding(
      'device-answers-nothing',
      unit,
      {
        device: unit,
        vantage: best?.evidence.vantage.name ?? '',
        silent: addressesOf(silent).size,
        there: addressesOf(there).size,
        echo: echoOf(there),
      },
      { about, evidence: seenAt('no planned service answers', silent) },
    );
  return there.every(isEcholess) && addressesOf(there).size >= least
    ? finding(
        'device-answers-no-echo',
        unit,
        { device: unit, addresses: addressesOf(there).size },
        { about, evidence: seenAt('no echo was answered', there) },
      )
    : undefined;
}

function seenAt(what: string, ones: readonly One[]): EvidenceLine[] {
  const [best] = ones.flatMap(({ situation }) => situation.best ?? []);
  return best === undefined ? [] : [seenLine(best.evidence, `${what} at ${list([...addressesOf(ones)])}`)];
}

/** An echo is all that could be asked, and its silence has to be seen to. */
function isEcholess({ outcome: { facts } }: One): boolean {
  return facts.some(
    ({ fact, cause, findings }) =>
      fact === 'echo' && cause === 'no-echo' && findings.some(({ severity }) => severity !== 'note'),
  );
}

function echoOf(there: readonly One[]): 'answered' | 'silent' | 'open' {
  const outcomes = there.map(({ situation: { best } }) => best?.sighting.icmp.outcome);
  if (outcomes.includes('replied')) return 'answered';
  return outcomes.every((one) => one === 'no-reply') ? 'silent' : 'open';
}

function groupedBy(
  ones: readonly One[],
  key: (endpoint: Endpoint) => string,
): ReadonlyMap<string, readonly One[]> {
  const groups = new Map<string, One[]>();
  for (const one of ones) {
    const name = key(one.situation.endpoint);
    groups.set(name, [...(groups.get(name) ?? []), one]);
  }
  return groups;
}

/** Somebody answers for its address, and it is no other device. */
function isThere({ outcome: { facts } }: One): boolean {
  return (
    facts.some(({ fact, state }) => fact === 'address' && state === 'matches') &&
    !facts.some(({ fact, path }) => fact === 'box' && path === 'ends')
  );
}

/** Anything but an echo, seen from anywhere; somebody on the way who turns questions away counts as well, for then it is not the device. */
function saysAnything({ looks }: Situation): boolean {
  return looks.some(
    ({ responses }) =>
      anyAnswer(responses.filter(({ what }) => what !== 'echo')) ||
      responses.some(({ state }) => state === 'doubtful' || state === 'blocked'),
  );
}

/** A port was asked until its silence was sure. SNMP alone does not tell: an agent with another community is as silent. */
function isSilent({ situation, outcome: { facts } }: One): boolean {
  return (
    facts.some(({ fact, cause }) => fact === 'service' && cause === 'silent') &&
    situation.best?.sighting.tcp.some(({ outcome }) => outcome === 'no-reply') === true
  );
}

function addressesOf(ones: readonly One[]): ReadonlySet<string> {
  return new Set(ones.flatMap(({ situation: { endpoint } }) => endpoint.address ?? []));
}
