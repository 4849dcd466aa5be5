import { describe, expect, it } from 'vitest';
import type { Survey } from '../../src/matrix/survey.js';
import type { AddressSighting } from '../../src/sighting/types.js';
import { judgeSurvey } from '../../src/survey/judge.js';
import { readSurvey } from '../../src/survey/read.js';
import { judge } from '../../src/verdicts/judge.js';
import {
  aDevice,
  aNetwork,
  anEndpoint,
  anEvidence,
  aPlan,
  aSighting,
  aTcp,
  mac,
  notRun,
} from '../support/evidence.js';

const A = '192.0.2.11';
const B = '192.0.2.12';
const D = '192.0.2.200';
const plan = aPlan({
  devices: [aDevice('vault-1', { defaultAddresses: [D], macPrefixes: ['00:00:5e:00:53'] })],
  endpoints: [
    anEndpoint('vault-1/A/mgmt', { address: A, services: 'https' }),
    anEndpoint('vault-1/B/mgmt', { address: B, services: 'https', mac: mac(2) }),
  ],
});
const PORTAL = {
  port: 443,
  subject: 'CN=portal.example',
  issuer: 'CN=portal.example',
  altNames: [],
  fingerprint256: 'aa',
  validFrom: '2029-01-01T00:00:00Z',
  validTo: '2039-01-01T00:00:00Z',
  selfSigned: true,
};
const silent = (address: string): AddressSighting => aSighting(address, { by: false });
const survey = (...sightings: AddressSighting[]): Survey =>
  judgeSurvey(plan, [anEvidence({ sightings })], {
    makerOf: () => 'Example Works',
    swept: [{ network: 'mgmt', addresses: 254 }],
  });

// Rules of DESIGN 4 and 6; held against real boxes in tests/lab/defaults.test.ts. Who answers ARP for an address has it: RFC 826.
describe('a survey before power-on', () => {
  it('finds nothing on a clear site, and says what it asked', () => {
    const result = survey(silent(A), silent(B), silent(D));
    expect(result).toMatchObject({
      format: 'matchmark.survey/1',
      site: 'Test Hall',
      entries: [],
      findings: [],
      silent: [A, B, D],
      asked: { planned: 2, defaults: 1 },
    });
  });

  it('says that the laptop may be in the wrong place where not even the gateway answers', () => {
    const gateway = '192.0.2.1';
    const routed = aPlan({
      ...plan,
      networks: [{ ...aNetwork('mgmt', '192.0.2.0/24'), gateway, routed: true }],
    });
    const codes = (...sightings: AddressSighting[]): string[] =>
      judgeSurvey(routed, [anEvidence({ sightings })]).findings.map(({ code }) => code);
    expect(codes(silent(A), silent(B), silent(gateway))).toEqual(['laptop-misplaced']);
    expect(codes(silent(A), silent(B), aSighting(gateway, { by: mac(0x77) }))).toEqual([]);
  });

  it('stops at a planned and at a default address that somebody holds, with MAC and maker', () => {
    const result = survey(
      aSighting(A, {
        by: mac(0x66),
        identity: { https: { port: 443, status: 200, title: 'Label printer' } },
      }),
      silent(B),
      aSighting(D, { by: '00:00:5e:00:54:01' }),
    );
    expect(result.findings.map(({ code, severity }) => [code, severity])).toEqual([
      ['address-taken', 'stop'],
      ['default-address-taken', 'stop'],
    ]);
    expect(result.findings[0]?.message).toContain('00:00:5e:00:53:66 (Example Works) already answers');
    expect(result.findings[0]?.message).toContain('Label printer');
    expect(result.entries.map(({ kind, maker }) => [kind, maker])).toEqual([
      ['planned', 'Example Works'],
      ['default', 'Example Works'],
    ]);
  });

  it('does not take a MAC prefix for proof: an older device of the same make may stand there', () => {
    expect(survey(aSighting(D, { by: mac(1) })).findings.map(({ code }) => code)).toEqual([
      'default-address-taken',
    ]);
  });

  it('takes the planned MAC for proof', () => {
    expect(survey(aSighting(B, { by: mac(2), answers: 'https' })).findings.map(({ code }) => code)).toEqual([
      'already-readdressed',
    ]);
  });

  it('counts what could not be asked as unproven, not as free', () => {
    const result = survey(
      aSighting(A, {
        reach: 'no-route',
        presence: notRun('x'),
        icmp: notRun('x'),
        reachReason: 'no address there',
      }),
      aSighting(B, { reach: 'routed', echo: false }),
    );
    expect(result.silent).toEqual([]);
    expect(result.unproven).toEqual([
      { address: A, reason: 'no address there' },
      { address: B, reason: 'it lies behind a router: silence from here proves nothing' },
    ]);
    expect(result.asked.planned).toBe(0);
  });

  it.each([
    [
      'a firewall refuses for devices that are not there',
      [A, B, D].map((address) =>
        aSighting(address, { reach: 'routed', echo: false, tcp: [aTcp('https', 'refused')] }),
      ),
    ],
    [
      'a portal page answers for everything behind the router',
      [A, B, D].map((address) =>
        aSighting(address, {
          reach: 'routed',
          echo: false,
          answers: 'https',
          identity: { certificate: PORTAL },
        }),
      ),
    ],
  ])('%s: nobody is said to hold an address, and none is called free', (_what, sightings) => {
    const result = survey(...sightings);
    expect(result.entries).toEqual([]);
    expect(result.findings).toEqual([]);
    expect(result.silent).toEqual([]);
    expect(result.unproven.map(({ address }) => address)).toEqual([A, B, D]);
  });

  it('lists strangers of a swept network', () => {
    const result = survey(aSighting('192.0.2.77', { by: mac(0x77) }));
    expect(result.entries[0]).toMatchObject({ address: '192.0.2.77', kind: 'other', network: 'mgmt' });
    expect(result.findings.map(({ code }) => code)).toEqual(['stranger']);
  });

  it('can be read back', () => {
    const result = survey(aSighting(A, { by: mac(0x66), answers: 'https' }), silent(B));
    expect(readSurvey(JSON.stringify(result), 'survey.json')).toEqual(JSON.parse(JSON.stringify(result)));
  });

  it.each([
    '',
    '[]',
    '{"format":"matchmark.survey/2"}',
    '{"format":"matchmark.survey/1","entries":7}',
    'null',
  ])('refuses %s with one clear sentence', (content) => {
    expect(() => readSurvey(content, 'survey.json')).toThrowError(/^survey\.json is (?:not JSON|no survey)/);
  });
});

describe('check --since', () => {
  const since = (before: Survey, ...sightings: AddressSighting[]) =>
    judge(plan, [anEvidence({ sightings })], { review: [], survey: before });
  const codes = (result: ReturnType<typeof since>) =>
    result.findings
      .map(({ code, subject }) => `${code} ${subject}`)
      .filter((line) => /survey|wrong/.test(line));

  it('says nothing of planned addresses that came up since', () => {
    const before = survey(silent(A), silent(B), silent(D));
    const now = since(
      before,
      aSighting(A, { by: mac(1), answers: 'https' }),
      aSighting(B, { by: mac(2), answers: 'https' }),
      silent(D),
    );
    expect(codes(now)).toEqual([]);
    expect(now.endpoints.map(({ verdict }) => verdict)).toEqual(['matches', 'matches']);
  });

  it('says nothing of a default that came up since: at power-on it should, later it has its own finding', () => {
    const before = survey(silent(A), silent(B), silent(D));
    expect(codes(since(before, silent(A), silent(B), aSighting(D, { by: mac(1) })))).toEqual([]);
  });

  it('does not take the device that held the address before power-on for the device', () => {
    const before = survey(aSighting(A, { by: mac(0x66) }));
    const now = since(before, aSighting(A, { by: mac(0x66), answers: 'https' }));
    expect(codes(now)).toEqual(['wrong-device vault-1/A/mgmt']);
    expect(now.findings[0]).toMatchObject({ severity: 'stop' });
    expect(now.findings[0]?.message).toContain('held this address already in the survey of');
    expect(now.findings[0]?.evidence.join()).toContain(
      'this MAC answered there before the devices were powered on',
    );
    expect(now.endpoints[0]?.verdict).toBe('differs');
  });

  it('does not take it for the device either where the survey’s plan had nothing at the address', () => {
    const before = survey(aSighting(A, { by: mac(0x66) }));
    const older: Survey = {
      ...before,
      entries: before.entries.map((entry) => ({ ...entry, kind: 'other' as const })),
    };
    const now = since(older, aSighting(A, { by: mac(0x66), answers: 'https' }));
    expect(codes(now)).toEqual(['wrong-device vault-1/A/mgmt']);
  });

  it('says which device of the survey sits on a planned address now, though its earlier address was not asked again', () => {
    const before = survey(silent(A), silent(B), aSighting('192.0.2.77', { by: mac(0x77) }));
    const now = since(before, aSighting(A, { by: mac(0x77), answers: 'https' }), silent(B));
    expect(codes(now)).toEqual(['survey-moved 192.0.2.77']);
    expect(now.findings.find(({ code }) => code === 'survey-moved')?.message).toContain(
      'that device answers at 192.0.2.11 now',
    );
    expect(now.findings.find(({ code }) => code === 'survey-moved')?.about).toEqual(['vault-1/A/mgmt']);
  });

  it('tells what is new, gone and moved', () => {
    const before = survey(
      aSighting(A, { by: mac(0x66) }),
      aSighting('192.0.2.77', { by: mac(0x77) }),
      aSighting('192.0.2.78', { by: mac(0x78) }),
      silent(D),
    );
    const now = since(
      before,
      aSighting(A, { by: mac(1), answers: 'https' }),
      silent('192.0.2.77'),
      silent('192.0.2.78'),
      aSighting('192.0.2.79', { by: mac(0x78) }),
      aSighting('192.0.2.80', { by: mac(0x80) }),
    );
    expect(codes(now)).toEqual([
      'survey-gone 192.0.2.77',
      'survey-moved 192.0.2.11',
      'survey-moved 192.0.2.78',
      'survey-new 192.0.2.79',
      'survey-new 192.0.2.80',
    ]);
    expect(now.findings.find(({ subject }) => subject === '192.0.2.78')?.message).toContain(
      'answers at 192.0.2.79 now',
    );
  });

  it('says nothing of addresses that this run did not ask', () => {
    const before = survey(aSighting('192.0.2.77', { by: mac(0x77) }));
    expect(codes(since(before))).toEqual([]);
  });
});
