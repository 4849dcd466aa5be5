/** When the silence of many services is one fault of their device, and when each is its own. The numbers are common practice, no source. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { jobListOf } from '../../src/result/jobs.js';
import type { AddressSighting, Evidence, TcpSighting } from '../../src/sighting/types.js';
import { judge } from '../../src/verdicts/judge.js';
import { anEndpoint, anEvidence, aPlan, aProof, aSighting, aTcp, mac } from '../support/evidence.js';

type Told = 'silent' | 'answers' | 'refuses' | 'takes it' | 'no time';

/** What each service says, in order; undefined: nobody claims the address. */
interface At {
  readonly services: string;
  readonly told?: readonly Told[] | undefined;
  readonly echo?: boolean;
}

const ADDRESS = (at: number): string => `192.0.2.${11 + at}`;

function tcpOf(word: string, told: Told): TcpSighting {
  switch (told) {
    case 'silent':
      return aTcp(word, 'no-reply');
    case 'refuses':
      return aTcp(word, 'refused');
    case 'no time':
      return { ...aTcp(word, 'not-run'), cause: 'bound-reached', reason: 'no time' } as TcpSighting;
    default:
      return aTcp(word);
  }
}

function sightingOf(at: number, { services, told, echo = false }: At): AddressSighting {
  if (told === undefined) return aSighting(ADDRESS(at), { by: false });
  const words = services.split(' ').filter((word) => word !== '');
  return aSighting(ADDRESS(at), {
    by: mac(at + 1),
    echo,
    tcp: words.map((word, index) => tcpOf(word, told[index] ?? 'silent')),
    proofs: words.flatMap((word, index) => {
      if (told[index] === 'answers') return [aProof(word, 'proven')];
      return told[index] === 'takes it' ? [aProof(word, 'silent')] : [];
    }),
  });
}

/** A device with these addresses, and another that answers; `more`: looks from elsewhere. */
function site(
  places: readonly At[],
  more: readonly Evidence[] = [],
  stage: Evidence['stage'] = 'configured',
) {
  const plan = aPlan({
    endpoints: [
      ...places.map(({ services }, at) => anEndpoint(`vault-1/p${at}`, { address: ADDRESS(at), services })),
      anEndpoint('loft/mgmt', { address: '192.0.2.200', services: 'https' }),
    ],
  });
  const sightings = [
    ...places.map((place, at) => sightingOf(at, place)),
    aSighting('192.0.2.200', { by: mac(0x99), answers: 'https' }),
  ];
  const evidence = [anEvidence({ sightings, stage }), ...more];
  return judge(plan, evidence, { review: [] });
}

const CODE = 'device-answers-nothing';
const many = (count: number, one: At): At[] => Array.from({ length: count }, () => one);
const SILENT: At = { services: 'https ssh', told: ['silent', 'silent'] };

const rootsOf = (findings: ReturnType<typeof judge>['findings']): string[] =>
  findings.filter(({ severity, follows }) => severity !== 'note' && follows.length === 0).map(({ id }) => id);

describe('one fault of the device', () => {
  it.each([
    ['31 addresses, two services each, all silent', many(31, SILENT)],
    ['three addresses with one service each', many(3, { services: 'https', told: ['silent'] })],
    ['both of a device that has two', many(2, SILENT)],
    ['an echo is answered, and nothing else', many(4, { ...SILENT, echo: true })],
    [
      'for some there was no time',
      [...many(3, SILENT), ...many(9, { services: 'https', told: ['no time'] })],
    ],
    ['some have no service planned', [...many(3, SILENT), ...many(2, { services: '', told: [] })]],
  ] as const)('%s: one thing to do, and all that is silent follows from it', (_what, places) => {
    const { findings } = site(places);
    expect(rootsOf(findings)).toEqual([`${CODE}:vault-1`]);
    const beneath = findings.filter(({ code }) => code === 'service-missing' || code === 'no-echo');
    expect(beneath.length).toBeGreaterThanOrEqual(2);
    for (const { follows } of beneath) expect(follows).toEqual([`${CODE}:vault-1`]);
  });

  it('where an echo is all there is to ask: one thing to see to, and it says no more', () => {
    const { findings } = site(many(5, { services: '', told: [] }));
    expect(rootsOf(findings)).toEqual(['device-answers-no-echo:vault-1']);
    expect(findings.filter(({ code }) => code === 'no-echo')).toHaveLength(5);
    const mixed = site([...many(2, { services: '', told: [] }), { services: '', told: [], echo: true }]);
    expect(rootsOf(mixed.findings)).toEqual(['no-echo:vault-1/p0', 'no-echo:vault-1/p1']);
  });

  it('says how many addresses there are, and how many were asked', () => {
    const [whole] = site(many(5, SILENT)).findings;
    expect(whole?.message).toBe(
      'vault-1 is there at 5 addresses, but no planned service answers at any of them, nor an echo.',
    );
    const places = [
      ...many(3, { ...SILENT, echo: true }),
      ...many(9, { services: 'https', told: ['no time'] }),
    ];
    const part = site(places).findings.find(({ code }) => code === CODE);
    expect(part?.message).toBe(
      'vault-1 is there at 12 addresses and answers an echo, but no planned service answers at any of the 3 that were asked for long enough.',
    );
  });

  it('beside addresses that nobody claims, which are missing and a fault of their own', () => {
    const { findings } = site([...many(3, SILENT), { services: 'https' }]);
    expect(rootsOf(findings)).toEqual([`${CODE}:vault-1`, 'endpoint-missing:vault-1/p3']);
  });

  it('counts as one job, with what follows counted beneath it', () => {
    const { findings } = site(many(31, SILENT));
    const { jobs } = jobListOf(findings);
    expect(jobs).toHaveLength(1);
    expect(jobs[0]?.follows).toHaveLength(62);
  });
});

describe('a fault of each service', () => {
  it.each([
    [
      'one answers at one address',
      [...many(4, SILENT), { services: 'https ssh', told: ['answers', 'silent'] }],
    ],
    ['one refuses at one address', [...many(4, SILENT), { services: 'https', told: ['refuses'] }]],
    ['one takes the connection', [...many(4, SILENT), { services: 'https', told: ['takes it'] }]],
    [
      'a port is closed by policy everywhere',
      many(5, { services: 'https ssh', told: ['silent', 'answers'] }),
    ],
    ['two addresses of three', [...many(2, SILENT), { services: 'https' }]],
    ['one address', many(1, SILENT)],
    ['nothing but an echo was planned', many(5, { services: '', told: [] })],
    ['there was no time for any', many(5, { services: 'https', told: ['no time'] })],
  ] as const)('%s', (_what, places) => {
    expect(site(places).findings.map(({ code }) => code)).not.toContain(CODE);
  });

  it('who drops echoes alone has no fault at all', () => {
    const { findings } = site(many(5, { services: 'https', told: ['answers'] }));
    expect(rootsOf(findings)).toEqual([]);
  });

  it('who answers in another place is not silent', () => {
    const there = anEvidence({ sightings: [aSighting(ADDRESS(1), { by: mac(2), answers: 'ssh' })] });
    expect(site(many(4, SILENT), [there]).findings.map(({ code }) => code)).not.toContain(CODE);
  });

  it('before anything is configured, no planned service is expected', () => {
    expect(site(many(4, SILENT), [], 'power-on').findings.map(({ code }) => code)).not.toContain(CODE);
  });

  it('where every agent alone is silent: its community may be another', () => {
    const plan = aPlan({
      endpoints: [0, 1, 2].map((at) =>
        anEndpoint(`vault-1/p${at}`, { address: ADDRESS(at), services: 'snmp' }),
      ),
    });
    const snmp = { outcome: 'no-reply', credential: 'site-ro', cause: 'timeout' } as const;
    const sightings = [0, 1, 2].map((at) => aSighting(ADDRESS(at), { by: mac(at + 1), snmp }));
    const { findings } = judge(plan, [anEvidence({ sightings })], { review: [] });
    expect(findings.filter(({ code }) => code === 'snmp-no-answer')).toHaveLength(3);
    expect(findings.map(({ code }) => code)).not.toContain(CODE);
  });
});

describe('a controller of a device', () => {
  const [A, B] = ['vault-1/A', 'vault-1/B'];
  const two = (ports: number, answers: (at: number) => boolean) => {
    const ids = [A, B].flatMap((controller) =>
      Array.from({ length: ports }, (_, port) => `${controller}/p${port}`),
    );
    const plan = aPlan({
      endpoints: ids.map((id, at) => anEndpoint(id, { address: ADDRESS(at), services: 'https' })),
    });
    const sightings = ids.map((_, at) =>
      sightingOf(at, { services: 'https', told: [answers(at) ? 'answers' : 'silent'] }),
    );
    return rootsOf(judge(plan, [anEvidence({ sightings })], { review: [] }).findings);
  };

  it('is one fault where the other answers', () => {
    expect(two(3, (at) => at < 3)).toEqual([`${CODE}:${B}`]);
    expect(two(2, (at) => at < 2)).toEqual([`${CODE}:${B}`]);
  });

  it('is none of its own where both are silent, which is the device', () => {
    expect(two(3, () => false)).toEqual([`${CODE}:vault-1`]);
  });

  it('with one address has the fault of its service', () => {
    expect(two(1, (at) => at === 0)).toEqual([`service-missing:${B}/p0`]);
  });
});

it('is one job or none, and never hides what answers otherwise than planned', () => {
  const told = fc.constantFrom<Told>(
    'silent',
    'silent',
    'silent',
    'no time',
    'answers',
    'refuses',
    'takes it',
  );
  const place = fc.record({
    services: fc.constant('https ssh'),
    told: fc.option(fc.tuple(told, told), { nil: undefined, freq: 8 }),
    echo: fc.boolean(),
  });
  fc.assert(
    fc.property(fc.array(place, { minLength: 1, maxLength: 6 }), (places) => {
      const { findings } = site(places);
      const there = places.filter((one) => one.told !== undefined);
      const isQuiet = there.every(({ told }) => told?.every((one) => one === 'silent' || one === 'no time'));
      const silent = there.filter(({ told }) => told?.includes('silent')).length;
      const whole = isQuiet && (silent >= 3 || (silent === 2 && places.length === 2));
      const causes = findings.filter(({ code }) => code === CODE);
      expect(causes).toHaveLength(whole ? 1 : 0);
      // It takes no finding away: what is not as planned has its own, beneath the cause where there is one.
      const services = findings.filter(({ code }) => code.startsWith('service-'));
      const wrong = places
        .flatMap((one) => one.told ?? [])
        .filter((one) => one !== 'answers' && one !== 'no time');
      expect(services).toHaveLength(wrong.length);
      for (const { follows } of services)
        if (whole) expect(follows).toEqual([causes[0]?.id]);
        else expect(follows).not.toContain(`${CODE}:vault-1`);
    }),
    { numRuns: 200 },
  );
});
