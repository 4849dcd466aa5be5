/** Power supplies of a planned device, told by a real agent and checked by the whole program. */
import { writeFileSync } from 'node:fs';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Matrix } from '../../src/matrix/matrix.js';
import { Lab, type LabHost, labRefusal } from './support/lab.js';
import { ENTITY, type Row, type RowsAgent, rowsAgent } from './support/rows-agent.js';
import { programsRefusal, startSnmpd } from './support/services.js';

const refusal = (await labRefusal()) ?? programsRefusal('ping', 'snmpd', 'snmpset');
if (refusal !== undefined) console.warn(`SKIPPED: power supplies in the lab: ${refusal}`);

/** RFC 4268 ENTITY-STATE-MIB. */
const STATE = '1.3.6.1.2.1.131';
/** RFC 4267 EntityOperState. */
const [DISABLED, ENABLED] = [2, 3];

/** RFC 6933: entPhysicalClass 6 is powerSupply, 3 chassis; entPhysicalName. RFC 4268: entStateOper. */
function supplyRows(...states: readonly number[]): Row[] {
  return [
    [`${ENTITY}.1.1.1.1.5.1`, 'integer', 3],
    ...states.flatMap((state, at): Row[] => [
      [`${ENTITY}.1.1.1.1.5.${at + 2}`, 'integer', 6],
      [`${ENTITY}.1.1.1.1.7.${at + 2}`, 'string', `PSU ${at + 1}`],
      [`${STATE}.1.1.1.3.${at + 2}`, 'integer', state],
    ]),
  ];
}

describe.skipIf(refusal !== undefined)('the feeds of a device against its power supplies', () => {
  let lab: Lab;
  let laptop: LabHost;
  let agent: RowsAgent;
  beforeAll(async () => {
    lab = new Lab();
    const mgmt = await lab.addSwitch('mgmt-switch');
    const vault = await lab.addHost('vault-1', [
      { switch: mgmt, name: 'mgmt', addresses: ['192.0.2.101/24'] },
    ]);
    agent = rowsAgent(vault, [ENTITY, STATE], supplyRows(ENABLED, ENABLED));
    await startSnmpd(vault, { sysName: 'vault-1', lines: agent.lines });
    laptop = await lab.addHost('laptop', [{ switch: mgmt, name: 'eth0', addresses: ['192.0.2.5/24'] }]);
    writeFileSync(
      path.join(lab.folder, 'plan.json'),
      JSON.stringify({
        plan: 1,
        networks: [{ name: 'mgmt', cidr: '192.0.2.0/24' }],
        devices: [{ name: 'vault-1', feeds: ['A', 'B'] }],
        snmp: { 'site-ro': { version: '2c', community: 'env:SITE_SNMP' } },
        endpoints: [
          {
            ...{ device: 'vault-1', controller: 'A', port: 'mgmt', role: 'management', network: 'mgmt' },
            ...{ address: '192.0.2.101', services: 'snmp', snmp: 'site-ro' },
          },
          { device: 'vault-1', port: 'psu-1', role: 'power' },
          { device: 'vault-1', port: 'psu-2', role: 'power' },
        ],
      }),
    );
  });
  afterAll(() => lab?.remove());

  it.each<[string, Row[], string[], string[]]>([
    ['two planned, two working', supplyRows(ENABLED, ENABLED), ['matches', 'matches'], []],
    [
      'two planned, one not working',
      supplyRows(ENABLED, DISABLED),
      ['matches', 'differs'],
      ['power-supply-down'],
    ],
    ['two planned, one there', supplyRows(ENABLED), ['matches', 'unproven'], ['power-supply-missing']],
    ['no state told: for eyes', supplyRows(1, 1), ['unproven', 'unproven'], []],
  ])('%s', async (name, rows, verdicts, findings) => {
    agent.set(rows);
    const ran = await laptop.matchmark(
      ['check', path.join(lab.folder, 'plan.json'), '--json', '--out', path.join(lab.folder, name)],
      { env: { SITE_SNMP: 'lab-read' } },
    );
    if (ran.stdout === '') throw new Error(ran.stderr);
    const matrix = JSON.parse(ran.stdout) as Matrix;
    expect(matrix.findings.map(({ code }) => code).filter((code) => code.startsWith('power-'))).toEqual(
      findings,
    );
    expect(matrix.endpoints.filter(({ id }) => id.includes('psu')).map(({ verdict }) => verdict)).toEqual(
      verdicts,
    );
  });
});
