/**
 * Results of older versions have no facts. What was seen stands for them: told, because nobody held it against the plan fact by fact;
 * what the result itself calls a difference is one.
 */
import { sayPort } from '../cabling/port-name.js';
import type { Difference, EndpointResult, EndpointSighting, FactResult } from '../matrix/matrix.js';
import { formatSpeed } from '../plan/speed.js';
import type { LinkSighting } from '../sighting/types.js';
import type { Mark } from '../text/marks.js';
import type { ShownFact } from './fact-cell.js';
import { formatMs } from './format-ms.js';
import { nameOf } from './name-of.js';

type Kind = FactResult['fact'];

const KIND_OF_FIELD: Readonly<Record<string, Kind>> = {
  address: 'address',
  echo: 'echo',
  services: 'service',
  link: 'link',
  light: 'light',
  speed: 'speed',
  'switch port': 'switch-port',
  vlan: 'vlan',
  mtu: 'mtu',
  portals: 'portals',
};

export function toldFacts({ sightings, differences, verdict }: EndpointResult): readonly ShownFact[] {
  const wrong = differences.map((one) => differing(one));
  const [sighting] = sightings;
  if (sighting === undefined) return wrong;
  const said = factsSeen(sighting, verdict === 'missing').filter(
    ({ kind, service }) =>
      !wrong.some((one) => one.kind === kind && (kind !== 'service' || one.service === service)),
  );
  return [...wrong, ...said];
}

function differing({ field, planned, measured, evidence }: Difference): ShownFact {
  const kind = Object.hasOwn(KIND_OF_FIELD, field) ? KIND_OF_FIELD[field] : undefined;
  const service = /^service (\S+)$/.exec(field)?.[1];
  return {
    kind: service === undefined ? (kind ?? 'box') : 'service',
    service: service ?? (kind === 'service' ? (planned.split(' ')[0] ?? '') : ''),
    mark: 'differs',
    text: kind === 'service' || service !== undefined ? measured : `${measured}, planned ${planned}`,
    vantage: '',
    reason: evidence,
  };
}

function factsSeen(sighting: EndpointSighting, missing: boolean): ShownFact[] {
  const { vantage, presence, reach, own, icmp, mtu, cabling, iscsi, link } = sighting;
  const fact = (kind: Kind, mark: Mark, text: string, service = ''): ShownFact => ({
    kind,
    service,
    mark,
    text,
    vantage,
    reason: '',
  });
  const facts: ShownFact[] = [];
  if (own === true) facts.push(fact('address', 'told', 'this laptop has it'));
  else if (presence.outcome === 'claimed') facts.push(fact('address', 'told', 'there'));
  else if (missing) return [fact('address', 'missing', 'nobody answers')];
  else if (reach === 'routed') facts.push(fact('address', 'told', 'behind a router'));
  else facts.push(fact('address', 'unproven', 'unproven'));
  if (icmp.outcome === 'replied') facts.push(fact('echo', 'told', formatMs(icmp.rttMs)));
  else facts.push(fact('echo', 'unproven', icmp.outcome === 'not-run' ? 'unproven' : 'no reply'));
  for (const { service, outcome } of [...sighting.proofs, ...unproved(sighting)])
    facts.push(
      outcome === 'proven' || outcome === 'accepted'
        ? { ...fact('service', 'told', 'answers', service), plain: true as const }
        : fact('service', 'unproven', outcome === 'not-run' ? 'unproven' : outcome, service),
    );
  const name = nameOf(sighting);
  if (name !== undefined) facts.push(fact('box', 'told', name));
  if (isLink(link)) {
    if (link.operStatus !== undefined) facts.push(fact('link', 'told', link.operStatus));
    if (link.speedMbps !== undefined && link.speedMbps > 0)
      facts.push(fact('speed', 'told', formatSpeed(link.speedMbps)));
  }
  if (cabling !== undefined)
    facts.push(fact('switch-port', 'told', `${cabling.switch} ${sayPort(cabling.port)}`));
  if (mtu.outcome === 'passes' || mtu.outcome === 'smaller') facts.push(fact('mtu', 'told', String(mtu.mtu)));
  if (iscsi.outcome === 'listed') facts.push(fact('portals', 'told', 'listed'));
  return facts;
}

/** Services that took a connection and have no proof of their own. */
function unproved({ tcp, proofs }: EndpointSighting): EndpointSighting['tcp'] {
  return tcp.filter(({ port }) => !proofs.some((proof) => proof.protocol === 'tcp' && proof.port === port));
}

export function isLink(link: EndpointSighting['link']): link is LinkSighting {
  return 'ifIndex' in link;
}
