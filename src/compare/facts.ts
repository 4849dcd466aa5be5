/** What a run knew of one endpoint, as comparable texts. */

import type { EndpointResult, EndpointSighting } from '../matrix/matrix.js';
import { formatSpeed } from '../plan/speed.js';
import type { LinkSighting } from '../sighting/types.js';
import { naturalOrder } from '../text/sentence.js';
import type { FactChange, FactKind } from './types.js';

interface Fact {
  readonly kind: FactKind;
  readonly fact: string;
  /** Everything that this sighting tells of it; nothing where it tells nothing. */
  readonly of: (sighting: EndpointSighting) => readonly (string | undefined)[];
}

const FACTS: readonly Fact[] = [
  { kind: 'box', fact: 'MAC', of: ({ macs }) => macs },
  { kind: 'box', fact: 'serial number', of: ({ identity }) => identity.snmp?.serials ?? [] },
  { kind: 'box', fact: 'sysName', of: ({ identity }) => [identity.snmp?.sysName] },
  { kind: 'box', fact: 'SNMP engine', of: ({ identity }) => [identity.snmp?.engineId] },
  { kind: 'box', fact: 'Redfish UUID', of: ({ identity }) => [identity.redfish?.uuid] },
  {
    kind: 'box',
    fact: 'certificate fingerprint',
    of: ({ identity }) => [identity.certificate?.fingerprint256],
  },
  { kind: 'box', fact: 'certificate subject', of: ({ identity }) => [identity.certificate?.subject] },
  { kind: 'link', fact: 'link', of: ({ link }) => [linkOf(link)?.operStatus] },
  {
    kind: 'link',
    fact: 'link speed',
    of: ({ link }) => {
      const mbps = linkOf(link)?.speedMbps;
      // An unplugged port tells 0, which is no speed.
      return mbps === undefined || mbps === 0 ? [] : [formatSpeed(mbps)];
    },
  },
  { kind: 'link', fact: 'MTU of the port', of: ({ link }) => [numberText(linkOf(link)?.mtu)] },
  {
    kind: 'link',
    fact: 'MTU of the path',
    of: ({ mtu }) => (mtu.outcome === 'passes' || mtu.outcome === 'smaller' ? [String(mtu.mtu)] : []),
  },
  {
    kind: 'link',
    fact: 'switch port',
    of: ({ cabling }) => [cabling && `${cabling.switch} ${cabling.port}`],
  },
  { kind: 'software', fact: 'sysDescr', of: ({ identity }) => [identity.snmp?.sysDescr] },
  {
    kind: 'software',
    fact: 'Server',
    of: ({ identity }) => [identity.https?.server ?? identity.http?.server],
  },
  { kind: 'software', fact: 'SSH line', of: ({ identity }) => [identity.ssh?.line] },
  { kind: 'software', fact: 'Redfish version', of: ({ identity }) => [identity.redfish?.redfishVersion] },
];

export function factChanges(before: EndpointResult, now: EndpointResult): FactChange[] {
  const place = (['address', 'network'] as const).flatMap((fact): FactChange[] =>
    before[fact] === now[fact]
      ? []
      : [{ kind: 'place', fact, before: before[fact] || 'none', now: now[fact] || 'none' }],
  );
  return [
    ...place,
    ...FACTS.flatMap(({ kind, fact, of }): FactChange[] => {
      const [was, is] = [told(before, of), told(now, of)];
      return was === '' || is === '' || was === is ? [] : [{ kind, fact, before: was, now: is }];
    }),
  ];
}

/** All that all vantages tell, each once and in order, so that the order of looks plays no part. */
function told({ sightings }: EndpointResult, of: Fact['of']): string {
  const texts = sightings.flatMap(of).flatMap((text) => (text === undefined || text === '' ? [] : [text]));
  return [...new Set(texts)].sort(naturalOrder).join(', ');
}

function linkOf(link: EndpointSighting['link']): LinkSighting | undefined {
  return 'ifIndex' in link ? (link as LinkSighting) : undefined;
}

function numberText(value: number | undefined): string | undefined {
  return value === undefined ? undefined : String(value);
}
