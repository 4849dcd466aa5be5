import { expect, test } from 'vitest';
import { buildMatrix } from '../../src/result/build.js';
import { openFacts } from '../../src/result/open-facts.js';
import type { AddressSighting, Vantage } from '../../src/sighting/types.js';
import { renderOpenEnds } from '../../src/terminal/open-ends.js';
import { judge } from '../../src/verdicts/judge.js';
import { anEndpoint, anEvidence, aPlan, aSighting, aTcp, aVantage, notRun } from '../support/evidence.js';
import { aFact } from '../support/facts.js';
import { aMatrix } from '../support/matrix.js';

const plan = aPlan({
  endpoints: [anEndpoint('vault-1/A/mgmt', { address: '192.0.2.11', services: 'https' })],
});
const style = { width: 60, colour: false, unicode: true };

function said(sighting: AddressSighting, vantage: Partial<Vantage> = {}): string {
  const evidence = [anEvidence({ sightings: [sighting], vantage })];
  const run = {
    id: 'x',
    startedAt: 'a',
    finishedAt: 'b',
    complete: true,
    stage: 'configured',
    version: '0',
  } as const;
  const judgement = judge(plan, evidence, { review: [] });
  return renderOpenEnds(buildMatrix({ run, plan, evidence, judgement }), style);
}

const away = (more: Partial<AddressSighting>) =>
  aSighting('192.0.2.11', {
    reach: 'no-route',
    echo: false,
    presence: notRun('away'),
    icmp: notRun('away'),
    ...more,
  });

test('nothing is open where everything was asked', () => {
  expect(said(aSighting('192.0.2.11', { answers: 'https' }))).toBe('');
});

test('the commands stand whole on their lines, however narrow the terminal', () => {
  const add = 'sudo ip address add 192.0.2.254/24 dev a-port-with-a-long-name-of-its-own';
  const text = said(
    away({ reachReason: 'no address there', mend: { add, remove: 'sudo ip address del x' } }),
  );
  expect(text.split('\n')).toContain(`To ask the rest:   ${add}`);
  expect(text).toContain('and afterwards:    sudo ip address del x');
});

test('a command is told once, and what keeps the laptop away comes first', () => {
  const add = 'sudo ip address add 192.0.2.254/24 dev eth1';
  const text = said(
    away({
      reachReason: 'no address there',
      mend: { add, remove: 'sudo ip address del x' },
      tcp: [{ ...aTcp('https', 'not-run'), cause: 'no-route', reason: 'no address there' } as never],
    }),
  );
  expect(text.split(add)).toHaveLength(2);
  // What could not be asked for the same reason is told with it.
  expect(text).toMatch(
    /^2 facts of vault-1\/A\/mgmt are unproven\s+\(address and\s+https\):\s+no address there\./,
  );
  expect(text).not.toContain('.;');
});

test('where no command helps, the reason does', () => {
  expect(said(away({ reachReason: 'mgmt: interface eth1 has no link: is its cable in?' }))).toContain(
    'interface eth1 has no link',
  );
});

test('programs that were lacking are named, with the command that tells the mend', () => {
  const { abilities } = aVantage();
  const text = said(aSighting('192.0.2.11', { answers: 'https' }), {
    abilities: {
      ...abilities,
      ping: { able: false, reason: 'not installed' },
      capture: { able: false, reason: 'none' },
    },
  });
  expect(text.replace(/\s+/g, ' ')).toContain(
    'lacks ping and a capture program or arping: "matchmark kit" says',
  );
});

test('an example of one endpoint does not name it twice', () => {
  const { endpoints } = aMatrix(plan, () => ({
    verdict: 'differs',
    facts: [
      aFact('service', 'unproven', { cause: 'two-devices', reason: 'two devices answer there' }),
      aFact('box', 'unproven', { cause: 'two-devices', reason: 'two devices are there' }),
    ],
  }));
  expect(openFacts({ endpoints })[0]?.sentence).toMatch(
    /^2 facts of vault-1\/A\/mgmt are unproven \(.*\); for example: two devices answer there\.$/,
  );
});
