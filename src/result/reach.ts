/** How far a run could see, in words, so that `unproven` is understood without us. */

import type { Matrix } from '../matrix/matrix.js';
import { groupBy } from '../text/group-by.js';
import { count, list } from '../text/sentence.js';

/** Vantages that get a sentence of their own; a run from more says the rest as a number. */
const VANTAGES_TOLD = 6;

type Look = 'on' | 'through' | 'no-way';

/** `Looked from laptop: on the same link as mgmt and data-a; no way to data-b.` One sentence for those that see the same, then what has no address to ask. */
export function reachSentences({ vantages, endpoints }: Matrix): readonly string[] {
  const networks = groupBy(
    endpoints.filter(({ address }) => address !== ''),
    ({ network }) => network,
  );
  const seenFrom = vantages.slice(0, VANTAGES_TOLD).flatMap(({ name }) => {
    const looks = new Map<string, Look>();
    for (const [network, own] of networks) {
      const seen = own.flatMap(({ sightings }) => sightings.filter(({ vantage }) => vantage === name));
      // Devices that a run was limited to leave other networks without any sighting: that is no question of reach.
      if (seen.length === 0) continue;
      const look = seen.some(({ reach }) => reach === 'on-link')
        ? 'on'
        : seen.some(({ reach }) => reach === 'routed')
          ? 'through'
          : 'no-way';
      looks.set(network === '' ? 'addresses of no network' : network, look);
    }
    const of = (wanted: Look): string[] =>
      [...looks].filter(([, look]) => look === wanted).map(([network]) => network);
    const parts = [
      part('on the same link as', of('on')),
      part('through a router to', of('through')),
      part('no way to', of('no-way')),
    ].filter((each) => each !== '');
    return parts.length === 0 ? [] : [{ name, reach: parts.join('; ') }];
  });
  const told = [...groupBy(seenFrom, ({ reach }) => reach)].map(
    ([reach, own]) => `Looked from ${list(own.map(({ name }) => name))}: ${reach}.`,
  );
  const more = vantages.length - VANTAGES_TOLD;
  const silent = endpoints.filter(({ address, verdict }) => address === '' && verdict === 'unproven').length;
  return [
    ...told,
    ...(more > 0 ? [`Looked from ${count(more, 'more vantage')}.`] : []),
    ...(silent > 0
      ? [
          `${count(silent, 'endpoint')} without an address ${silent === 1 ? 'is' : 'are'} unproven: look at ${silent === 1 ? 'its lamp' : 'the lamps'} and record it with attest.`,
        ]
      : []),
  ];
}

function part(lead: string, networks: readonly string[]): string {
  return networks.length === 0 ? '' : `${lead} ${list(networks)}`;
}
