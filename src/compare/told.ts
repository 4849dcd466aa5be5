/** What devices tell of themselves and of their ports, whether the plan states it or not. What only one run knew is no change. */
import type { EndpointResult, EndpointSighting } from '../matrix/matrix.js';
import { formatSpeed } from '../plan/speed.js';
import type { LinkSighting } from '../sighting/types.js';
import { groupBy } from '../text/group-by.js';
import { naturalOrder } from '../text/sentence.js';
import type { FactChange, ToldChange } from './types.js';

export type ToldKind = 'identity' | 'software' | 'link';

interface Told {
  readonly kind: ToldKind;
  readonly what: string;
  /** Everything that this sighting tells of it; nothing where it tells nothing. */
  readonly of: (sighting: EndpointSighting) => readonly (string | undefined)[];
  /** The planned fact that says the same: where that changed, it is told there. */
  readonly fact?: FactChange['fact'];
}

const TOLD: readonly Told[] = [
  { kind: 'identity', what: 'MAC', of: ({ macs }) => macs },
  { kind: 'identity', what: 'sysName', of: ({ identity }) => [identity.snmp?.sysName] },
  { kind: 'identity', what: 'SNMP engine', of: ({ identity }) => [identity.snmp?.engineId] },
  {
    kind: 'identity',
    what: 'certificate fingerprint',
    of: ({ identity }) => [identity.certificate?.fingerprint256],
  },
  { kind: 'identity', what: 'certificate subject', of: ({ identity }) => [identity.certificate?.subject] },
  { kind: 'link', fact: 'link', what: 'link', of: ({ link }) => [linkOf(link)?.operStatus] },
  {
    kind: 'link',
    fact: 'speed',
    what: 'link speed',
    of: ({ link }) => {
      const mbps = linkOf(link)?.speedMbps;
      // An unplugged port tells 0, which is no speed.
      return mbps === undefined || mbps === 0 ? [] : [formatSpeed(mbps)];
    },
  },
  { kind: 'link', what: 'MTU of the port', of: ({ link }) => [numberText(linkOf(link)?.mtu)] },
  {
    kind: 'link',
    fact: 'mtu',
    what: 'MTU of the path',
    of: ({ mtu }) => (mtu.outcome === 'passes' || mtu.outcome === 'smaller' ? [String(mtu.mtu)] : []),
  },
  { kind: 'software', what: 'software', of: ({ identity }) => [identity.snmp?.software] },
  { kind: 'software', what: 'sysDescr', of: ({ identity }) => [identity.snmp?.sysDescr] },
  {
    kind: 'software',
    what: 'Server',
    of: ({ identity }) => [identity.https?.server ?? identity.http?.server],
  },
  { kind: 'software', what: 'SSH line', of: ({ identity }) => [identity.ssh?.line] },
  { kind: 'software', what: 'Redfish version', of: ({ identity }) => [identity.redfish?.redfishVersion] },
];

export interface EndpointPair {
  readonly before: EndpointResult;
  readonly now: EndpointResult;
  /** Planned facts of it that changed. */
  readonly facts: readonly FactChange[];
}

/** One line where several ports of a controller tell the same. */
export function toldChanges(pairs: readonly EndpointPair[], kind: ToldKind): ToldChange[] {
  const changes = pairs.flatMap(({ before, now, facts }) =>
    TOLD.filter(({ kind: own, fact }) => own === kind && !facts.some((one) => one.fact === fact)).flatMap(
      ({ what, of }) => {
        const [was, is] = [wordsOf(before, of), wordsOf(now, of)];
        return was === '' || is === '' || was === is
          ? []
          : [{ device: now.device, controller: now.controller, id: now.id, what, before: was, now: is }];
      },
    ),
  );
  const same = groupBy(changes, ({ device, controller, what, before, now }) =>
    JSON.stringify([device, controller, what, before, now]),
  );
  return [...same.values()].flatMap((all): ToldChange[] => {
    const [first] = all;
    if (first === undefined) return [];
    const { id: _id, ...change } = first;
    return [{ ...change, endpoints: all.map(({ id }) => id) }];
  });
}

/** All that all vantages tell, each once and in order, so that the order of looks plays no part. */
function wordsOf({ sightings }: EndpointResult, of: Told['of']): string {
  const texts = sightings.flatMap(of).flatMap((text) => (text === undefined || text === '' ? [] : [text]));
  return [...new Set(texts)].sort(naturalOrder).join(', ');
}

function linkOf(link: EndpointSighting['link']): LinkSighting | undefined {
  return 'ifIndex' in link ? (link as LinkSighting) : undefined;
}

function numberText(value: number | undefined): string | undefined {
  return value === undefined ? undefined : String(value);
}
