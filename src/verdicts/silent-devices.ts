/**
 * A device that is there and of which no planned service answers anywhere: one fault, and what is silent at each of its addresses follows
 * from it. Whoever answers anything but an echo at any address is no such device: there a port has its own fault.
 */
import { anyAnswer } from '../evidence/responses.js';
import type { Judged } from '../facts/ledger.js';
import type { Situation } from '../facts/situation.js';
import { type Finding, finding } from '../findings/index.js';
import { seenLine } from '../sighting/evidence-line.js';

/** With fewer addresses than this, one service that is off is as likely, unless they are all that it has (common practice, no source). */
const TELLING = 3;
const FEWEST = 2;

interface One {
  readonly situation: Situation;
  readonly outcome: Pick<Judged, 'facts'>;
}

export function judgeSilentDevices(judged: readonly One[]): Finding[] {
  const byDevice = new Map<string, One[]>();
  for (const one of judged) {
    const { device, address } = one.situation.endpoint;
    if (address !== undefined) byDevice.set(device, [...(byDevice.get(device) ?? []), one]);
  }
  return [...byDevice].flatMap(([device, all]) => silentDevice(device, all));
}

function silentDevice(device: string, all: readonly One[]): Finding[] {
  const there = all.filter(isThere);
  if (there.some(({ situation }) => saysAnything(situation))) return [];
  const silent = there.filter(isSilent);
  const addresses = addressesOf(silent);
  const least = addressesOf(all).size === FEWEST ? FEWEST : TELLING;
  if (addresses.size < least) return [];
  const best = silent[0]?.situation.best;
  return [
    finding(
      'device-answers-nothing',
      device,
      {
        device,
        vantage: best?.evidence.vantage.name ?? '',
        silent: addresses.size,
        there: addressesOf(there).size,
        echo: silent.some(({ situation }) => situation.best?.sighting.icmp.outcome === 'replied'),
      },
      {
        about: there.map(({ situation }) => situation.endpoint.id),
        evidence: best === undefined ? [] : [seenLine(best.evidence, `silent: ${[...addresses].join(', ')}`)],
      },
    ),
  ];
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
