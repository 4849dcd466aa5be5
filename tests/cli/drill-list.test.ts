import { describe, expect, test } from 'vitest';
import { folderWith, namesIn, run } from './run.js';

/** Two data ports and two Fibre Channel ports of one device; data paths share one switch. */
const PLAN = `plan: 1
site: { name: Test Hall }
networks: [ { name: data, cidr: 192.0.2.0/24 }, { name: fabric-a }, { name: fabric-b } ]
devices: [ { name: vault-1 }, { name: loft-switch } ]
endpoints:
  - { device: vault-1, controller: A, port: data0, role: data, network: data, address: 192.0.2.11, services: ssh, group: vault-1 data, switch: loft-switch, switch port: 1 }
  - { device: vault-1, controller: B, port: data0, role: data, network: data, address: 192.0.2.12, services: ssh, group: vault-1 data, switch: loft-switch, switch port: 2 }
  - { device: vault-1, controller: A, port: fc0, role: data, media: fc, network: fabric-a, group: vault-1 fc }
  - { device: vault-1, controller: B, port: fc0, role: data, media: fc, network: fabric-b, group: vault-1 fc }
`;

describe('drill --list', () => {
  test('says from the plan alone what to pull, once for all groups, in which order, and what is not watched', async () => {
    const cwd = folderWith({ 'plan.yaml': PLAN });
    const { status, out } = await run(['drill', 'plan.yaml', '--list', '--quiet'], { cwd });
    expect(status).toBe(0);
    const numbered = out.split('\n').filter((line) => /^\d+\. /.test(line));
    expect(numbered).toEqual([
      '1. Pull the network cable at vault-1/A/data0. (vault-1 data)',
      '2. Pull the network cable at vault-1/B/data0. (vault-1 data)',
      '3. Pull the network cable at vault-1/A/fc0. (vault-1 fc)',
      '4. Pull the network cable at vault-1/B/fc0. (vault-1 fc)',
      expect.stringMatching(/^5\. .*controller vault-1\/A .*\(vault-1 data and vault-1 fc\)$/),
      expect.stringMatching(/^6\. .*controller vault-1\/B .*\(vault-1 data and vault-1 fc\)$/),
      expect.stringMatching(/^7\. Switch off loft-switch .*\(vault-1 data\)$/),
    ]);
    expect(out).toContain('Nothing was probed.');
    expect(out.match(/Not watched: nothing of it can be seen over the network\./g)).toHaveLength(2);
    expect(out).toContain('This ends vault-1 data: 0 paths would be left and 1 needed.');
    expect(out).toContain(
      'Cannot be watched from here: vault-1/A/fc0 and vault-1/B/fc0: no address to ask (Fibre Channel or power).',
    );
    // Nothing was written.
    expect(namesIn(cwd)).toEqual(['plan.yaml']);
  });

  test('--json and --group', async () => {
    const cwd = folderWith({ 'plan.yaml': PLAN });
    const { out } = await run(
      ['drill', 'plan.yaml', '--list', '--json', '--quiet', '--group', 'vault-1 fc'],
      { cwd },
    );
    const said = JSON.parse(out) as { pulls: { kind: string; name: string; groups: object[] }[] };
    expect(said).toMatchObject({ format: 'matchmark.pull-test/1', site: 'Test Hall', planned: true });
    expect(said.pulls.map(({ kind, name }) => `${kind} ${name}`)).toEqual([
      'cable vault-1/A/fc0',
      'cable vault-1/B/fc0',
      'controller vault-1/A',
      'controller vault-1/B',
    ]);
    expect(said.pulls[0]?.groups).toEqual([
      {
        group: 'vault-1 fc',
        affected: ['vault-1/A/fc0'],
        survivors: ['vault-1/B/fc0'],
        expect: 'survives',
        watched: 'none',
        outcome: '',
      },
    ]);
  });

  test('--resume of what is no run, and --resume beside --out: exit 2, nothing done', async () => {
    const cwd = folderWith({ 'plan.yaml': PLAN });
    expect((await run(['drill', 'plan.yaml', '--list', '--resume', 'nowhere'], { cwd })).status).toBe(2);
    const both = await run(['drill', 'plan.yaml', '--resume', '.', '--out', 'there'], { cwd });
    expect(both.status).toBe(2);
    expect(namesIn(cwd)).toEqual(['plan.yaml']);
  });
});
