import type { EndpointSighting, EndpointVerdict, FactResult, Matrix } from '../../src/matrix/matrix.js';
import {
  aDevice,
  aNetwork,
  anEndpoint,
  anEvidence,
  aPlan,
  aProof,
  aSighting,
  aTcp,
  mac,
  T0,
  T1,
} from './evidence.js';
import { aFact, serviceFacts } from './facts.js';
import { aFinding, aMatrix, LINK, seen } from './matrix.js';

/** A hall of `endpoints` endpoints, eight to a device, seen from `vantages` places. Every ninth is missing, every seventh differs. */
export function hallMatrix(endpoints: number, vantages: number): Matrix {
  const names = Array.from({ length: vantages }, (_, index) => `aisle-${index + 1}`);
  const list = Array.from({ length: endpoints }, (_, index) => {
    const device = `vault-${Math.floor(index / 8) + 1}`;
    const controller = index % 8 < 4 ? 'A' : 'B';
    return anEndpoint(`${device}/${controller}/port${index % 4}`, {
      address: `198.51.${100 + Math.floor(index / 250)}.${(index % 250) + 1}`,
      network: 'hall',
      services: 'https ssh',
      speedMbps: 10_000,
      mtu: 9000,
    });
  });
  const devices = [...new Set(list.map(({ device }) => device))].map((name, index) =>
    aDevice(name, {
      rack: `R${Math.floor(index / 13) + 1}`,
      units: { from: (index % 13) * 3 + 1, to: (index % 13) * 3 + 3 },
    }),
  );
  const plan = aPlan({
    site: { name: 'Long Hall' },
    networks: [aNetwork('hall', '198.51.0.0/16')],
    devices,
    endpoints: list,
  });
  const number = new Map(list.map(({ id }, index) => [id, index]));
  const findings = list.flatMap(({ id, address = '' }, index) =>
    index % 9 === 0
      ? [
          aFinding('endpoint-missing', 'fix', id, `Nobody claims ${address}.`, {
            evidence: ['asked three times'],
          }),
        ]
      : index % 7 === 0
        ? [aFinding('service-refused', 'fix', id, `https is refused at ${address}.`)]
        : [],
  );
  return aMatrix(
    plan,
    (id) => {
      const index = number.get(id) ?? 0;
      const verdict = index % 9 === 0 ? 'missing' : index % 7 === 0 ? 'differs' : 'matches';
      return {
        verdict,
        facts: hallFacts(verdict, names[0] ?? ''),
        sightings: names.map((name, from) => hallSighting(name, verdict, index, from)),
      };
    },
    { evidence: names.map((name) => anEvidence({ vantage: { name } })), findings },
  );
}

function hallFacts(verdict: EndpointVerdict, vantage: string): FactResult[] {
  if (verdict === 'missing')
    return [aFact('address', 'missing', { vantage }), aFact('speed', 'unproven', { planned: '10G' })];
  return [
    aFact('address', 'matches', { vantage }),
    aFact('echo', 'matches', { vantage }),
    ...serviceFacts(verdict === 'differs' ? 'https:refused ssh' : 'https ssh', vantage),
    aFact('link', 'matches', { planned: 'up', measured: 'up', vantage }),
    aFact('speed', 'matches', { planned: '10G', measured: '10G', vantage }),
    aFact('mtu', 'matches', { planned: '9000', measured: '9000', vantage }),
  ];
}

/** Round trips differ from place to place, as they do on a site: no two sightings are word for word the same. */
function hallSighting(
  vantage: string,
  verdict: EndpointVerdict,
  index: number,
  from: number,
): EndpointSighting {
  const address = '198.51.100.1';
  if (verdict === 'missing') return seen(vantage, aSighting(address, { by: false }));
  return seen(
    vantage,
    aSighting(address, {
      by: mac(index % 256),
      icmp: { outcome: 'replied', rttMs: 0.4 + from / 10, sent: 2, received: 2 },
      tcp: [verdict === 'differs' ? aTcp('https', 'refused') : aTcp('https'), aTcp('ssh')],
      proofs: [aProof('ssh', 'proven', 'SSH-2.0-controller')],
      identity: {
        snmp: {
          sysName: `vault-${index}`,
          sysDescr: 'storage controller, firmware 4.2.1',
          serials: [`S-${index}`],
        },
        certificate: {
          port: 443,
          subject: `CN=vault-${index}.example`,
          issuer: 'CN=site authority',
          altNames: [],
          fingerprint256: Array(32).fill('ab').join(':'),
          validFrom: T0,
          validTo: T1,
          selfSigned: false,
        },
      },
      mtu: { outcome: 'passes', mtu: 9000 },
    }),
    { link: LINK },
  );
}
