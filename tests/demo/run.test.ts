import { expect, test } from 'vitest';
import { DEMO_PATIENCES } from '../../src/demo/patience.js';
import { PLANTED, unexpectedFindings } from '../../src/demo/planted.js';
import { type DemoOptions, startDemoSite } from '../../src/demo/site.js';
import type { Matrix } from '../../src/matrix/matrix.js';
import { realDeps } from '../../src/run/real.js';
import { runCheck } from '../../src/run/run.js';

async function checkDemo(options: DemoOptions): Promise<Matrix> {
  const site = await startDemoSite(options);
  try {
    const real = realDeps({ env: process.env, platform: process.platform });
    return await runCheck(
      { plan: site.plan, stage: 'configured', runId: 'demo', version: '0', patiences: DEMO_PATIENCES },
      { ...real, probes: site.point(real.probes) },
      new AbortController().signal,
    );
  } finally {
    await site.stop();
  }
}

test.each<[string, DemoOptions]>([
  [
    'each address where it is planned',
    { portBases: [26_000, 36_000], singleAddress: process.platform === 'darwin' },
  ],
  ['everything on 127.0.0.1, as on macOS', { portBases: [27_000, 37_000], singleAddress: true }],
])(
  'the check finds every planted fault and nothing else: %s',
  async (_name, options) => {
    const matrix = await checkDemo(options);
    expect(PLANTED.filter((fault) => !fault.found(matrix)).map(({ where }) => where)).toEqual([]);
    expect(unexpectedFindings(matrix)).toEqual([]);
    const verdicts = new Map(matrix.endpoints.map(({ id, verdict }) => [id, verdict]));
    for (const id of [
      'vault-1/A/mgmt',
      'vault-1/A/data0',
      'vault-2/B/data0',
      'loft-switch-1/mgmt',
      'press-1/mgmt',
      'power-1/mgmt',
    ])
      expect([id, verdicts.get(id)]).toEqual([id, 'matches']);
    // What the network cannot show is said to be open, not guessed.
    expect(verdicts.get('vault-2/A/fc0')).toBe('unproven');
    expect(matrix.findings.some(({ code }) => code === 'observation-open')).toBe(true);
    // What is not planted wrong is proven, apart from what only eyes can prove.
    const open = matrix.endpoints.flatMap(({ id, facts }) =>
      facts.flatMap(({ fact, state }) => (state === 'unproven' ? [`${id} ${fact}`] : [])),
    );
    expect(new Set(open)).toEqual(
      new Set([
        // Nothing stands there, or it says nothing.
        ...['box', 'switch-port', 'vlan'].map((fact) => `vault-1/B/mgmt ${fact}`),
        'vault-1/B/data0 box',
        // Another device answers there.
        'vault-2/A/mgmt service',
        'vault-2/B/mgmt service',
        // Light.
        ...['A', 'B'].flatMap((letter) => ['light', 'speed'].map((fact) => `vault-2/${letter}/fc0 ${fact}`)),
      ]),
    );
    const group = matrix.groups.find(({ name }) => name === 'vault-1 data');
    expect(group?.verdict).toBe('at-risk');
    expect(group?.asPlanned.verdict).toBe('redundant');
    expect(group?.singlePoints.map(({ kind }) => kind)).toEqual(
      expect.arrayContaining(['controller', 'switch', 'network']),
    );
  },
  60_000,
);
