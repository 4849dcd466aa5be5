/** Row 1 of the table: Fibre Channel and power ports, which have no address. */
import { describe, expect, it } from 'vitest';
import type { Attestation, DeviceLinks, LinkStatus } from '../../src/sighting/types.js';
import { judge } from '../../src/verdicts/judge.js';
import { anEndpoint, anEvidence, aPlan, T0, T1 } from '../support/evidence.js';

const ID = 'vault-1/A/fc0';
const observed = [{ subject: 'vault-1', item: 'power lamp', expect: 'steady green' }];

function run(attestations: readonly Attestation[], operStatus?: LinkStatus, observe: typeof observed = []) {
  const plan = aPlan({
    endpoints: [anEndpoint(ID, { role: 'data', media: 'fc', interface: 'fc0' })],
    observe,
  });
  const links: DeviceLinks[] =
    operStatus === undefined
      ? []
      : [
          {
            device: 'vault-1',
            controller: 'A',
            askedAt: '192.0.2.11',
            links: [{ ifIndex: 1, ifName: 'fc0', ifType: 56, operStatus, adminStatus: 'up', addresses: [] }],
          },
        ];
  const { endpoints, findings } = judge(plan, [anEvidence({ attestations, links })], { review: [] });
  const codes = findings.filter(({ subject }) => subject === ID).map(({ code }) => code);
  return {
    verdict: endpoints[0]?.verdict,
    codes: codes.filter((code) => code !== 'path-missing'),
    endpoint: endpoints[0],
  };
}
const saw = (text: string, at = T0, subject = ID, item = 'link light'): Attestation => ({
  subject,
  item,
  saw: text,
  by: 'R. Field',
  at,
});

describe('an endpoint without an address', () => {
  it('is unproven and open where neither agent nor eye told its link', () => {
    expect(run([])).toMatchObject({ verdict: 'unproven', codes: ['observation-open'] });
  });

  it('has the verdict of its link by SNMP', () => {
    expect(run([], 'up')).toMatchObject({ verdict: 'matches', codes: [] });
    expect(run([], 'down')).toMatchObject({ verdict: 'differs', codes: ['link-down'] });
  });

  it('keeps the link in its sighting, so that the page can show it', () => {
    expect(run([], 'up').endpoint?.sightings[0]).toMatchObject({ vantage: 'bench', link: { ifName: 'fc0' } });
  });

  it('has the verdict of what was seen, the latest counting', () => {
    expect(run([saw('steady green')])).toMatchObject({ verdict: 'matches', codes: [] });
    expect(run([saw('green, no faults')])).toMatchObject({ verdict: 'matches' });
    expect(run([saw('dark')])).toMatchObject({ verdict: 'differs', codes: ['observation-differs'] });
    expect(run([saw('dark'), saw('steady green', T1)]).verdict).toBe('matches');
  });

  it('is attested by a word on its device that names the port', () => {
    expect(run([saw('green', T0, 'vault-1/A', 'fc0 link lamp')]).verdict).toBe('matches');
    expect(run([saw('green', T0, 'vault-1/A', 'fc1 link lamp')]).verdict).toBe('unproven');
  });

  it('is not said to be up by an agent where eyes saw it dark', () => {
    expect(run([saw('no light')], 'up').verdict).toBe('differs');
  });

  it('says both ways to prove it: by eyes, and by the agent that could tell', () => {
    const fact = run([]).endpoint?.facts.find(({ state }) => state === 'unproven');
    expect(fact).toMatchObject({ fact: 'light', planned: 'link light', cause: 'nobody-looked' });
    expect(fact?.reason).toBe(
      'no device told its link: the plan names no SNMP credential for vault-1; nobody has recorded its link light',
    );
    expect(fact?.mend).toMatch(/^look at it and record it: .*; or write the SNMP credential of vault-1/);
  });
});
