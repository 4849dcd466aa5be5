/** Addresses that answer and that the plan does not have. */

import { claimsIn } from '../evidence/claim-index.js';
import { isOwn } from '../evidence/own.js';
import { anyAnswer } from '../evidence/responses.js';
import { somebodyThere } from '../evidence/there.js';
import type { View } from '../evidence/view.js';
import { type Finding, finding } from '../findings/index.js';
import { selfDescription } from '../identity/facts.js';
import { identityOf } from '../identity/seen-identity.js';
import type { StrangerResult } from '../matrix/matrix.js';
import { compareAddresses, hostOf } from '../plan/address.js';
import { indexOf } from '../plan/plan-index.js';
import { seenLine } from '../sighting/evidence-line.js';

export type MakerOf = (mac: string) => string | undefined;

export function judgeStrangers(
  view: View,
  makerOf: MakerOf = () => undefined,
): { readonly strangers: StrangerResult[]; readonly findings: Finding[] } {
  const known = knownAddresses(view);
  const strangers: StrangerResult[] = [];
  const findings: Finding[] = [];
  for (const address of [...view.addresses].sort(compareAddresses)) {
    if (known.has(address)) continue;
    const looks = view.seen(address);
    if (looks.some(isOwn)) continue;
    const claimed = claimsIn(view).ever(address);
    if (!somebodyThere(claimed, ...looks.map(({ responses }) => responses))) continue;
    const answering = looks.find((look) => anyAnswer(look.responses));
    const macs = claimed.claimants.map(({ mac }) => mac);
    const mac = macs.join(', ');
    const network = view.networkAt(address)?.name;
    const maker = macs[0] === undefined ? undefined : makerOf(macs[0]);
    strangers.push({ address, mac, network: network ?? '', ...(maker === undefined ? {} : { maker }) });
    const looksLike = macs.flatMap((one) => indexOf(view.plan).withMac(one))[0];
    const identity = identityOf(looks);
    findings.push(
      finding(
        'stranger',
        address,
        { address, mac: macs.length === 0 ? undefined : mac, maker, network, looksLike: looksLike?.id },
        {
          evidence: [
            ...claimed.claimants.flatMap(({ evidence }) => evidence),
            ...(answering === undefined
              ? []
              : [
                  seenLine(
                    answering.evidence,
                    answering.responses
                      .filter(({ state }) => state === 'answered')
                      .map(({ what, detail }) => `${what} ${detail}`)
                      .join(', '),
                  ),
                ]),
            ...(identity === undefined ? [] : selfDescription(identity).slice(0, 4)),
          ],
          ...(looksLike === undefined ? {} : { about: [looksLike.id] }),
        },
      ),
    );
  }
  return { strangers, findings };
}

/** Planned, default and gateway addresses, and every laptop's own. */
function knownAddresses({ plan, evidence }: View): Set<string> {
  const known = [
    ...indexOf(plan).addresses,
    ...evidence.flatMap(({ vantage }) =>
      vantage.interfaces.flatMap(({ addresses }) => addresses.map((one) => hostOf(one))),
    ),
  ];
  return new Set(known.filter((address) => address !== undefined));
}
