import { describe, expect, test } from 'vitest';
import { isConsequence, withCauses } from '../../src/findings/causes.js';
import { orderFindings } from '../../src/findings/order.js';
import { aFinding } from '../support/matrix.js';

const A = 'vault-1/A/data0';
const B = 'vault-1/B/data0';
const HOST = 'press-1/h0';
const about = [A, B];

/** Code and subject of each consequence -> codes and subjects of what it follows from. */
function told(findings: readonly ReturnType<typeof aFinding>[], moved: readonly string[] = []) {
  const judged = withCauses(orderFindings(findings), { onAnotherSwitch: new Set(moved) });
  const name = (id: string): string => {
    const found = judged.find((one) => one.id === id);
    return `${found?.code} ${found?.subject}`;
  };
  return Object.fromEntries(
    judged
      .filter(({ follows }) => follows.length > 0)
      .map(({ id, follows }) => [name(id), follows.map(name)]),
  );
}

const refused = aFinding('service-refused', 'fix', B, 'refused', { about: [B] });
const missing = aFinding('path-missing', 'fix', B, 'not there', { about: [B] });
const single = aFinding('single-point', 'fix', 'vault-1 data', 'one failure', { about });

// DESIGN 6: which fault ends a path, and which leaves it live. No source outside the project.
describe('causes', () => {
  test('a missing path follows from the fault of its endpoint, the single point from the same', () => {
    expect(told([single, missing, refused])).toEqual({
      [`path-missing ${B}`]: [`service-refused ${B}`],
      'single-point vault-1 data': [`service-refused ${B}`],
    });
  });

  test('a fault of the other path is no cause', () => {
    const other = aFinding('service-refused', 'fix', A, 'refused', { about: [A] });
    expect(told([missing, other])).toEqual({});
    expect(told([single, missing, other, refused])['single-point vault-1 data']).toEqual([
      `service-refused ${B}`,
    ]);
  });

  test.each(['speed-below-plan', 'mtu-below-plan', 'certificate-expired', 'portal-unplanned'])(
    '%s leaves a path live, so nothing follows from it',
    (code) => {
      expect(told([missing, single, aFinding(code, 'fix', B, 'x', { about: [B] })])).toEqual({});
    },
  );

  test('a note causes nothing', () => {
    expect(told([missing, aFinding('no-echo', 'note', B, 'x')])).toEqual({});
  });

  test('a cable in a port of another switch makes a single point; one in another port of its own switch does not', () => {
    const swapped = aFinding('wrong-switch-port', 'fix', B, 'swapped', { about: [B, HOST] });
    expect(told([single, swapped])).toEqual({});
    expect(told([single, swapped], [B])).toEqual({
      'single-point vault-1 data': [`wrong-switch-port ${B}`],
    });
  });

  test('what was planned like this follows from the plan', () => {
    const planned = aFinding('group-single-path', 'fix', 'vault-1 data', 'one path');
    expect(told([single, planned])).toEqual({
      'single-point vault-1 data': ['group-single-path vault-1 data'],
    });
  });

  test('a lost group follows from every fault of its dead paths, each once and in order', () => {
    const lost = aFinding('group-lost', 'stop', 'vault-1 data', 'lost', { about });
    const swap = aFinding('wrong-device', 'stop', A, 'swapped', { about });
    const gone = aFinding('path-missing', 'fix', A, 'not there', { about: [A] });
    expect(told([lost, swap, gone, missing, refused])['group-lost vault-1 data']).toEqual([
      `wrong-device ${A}`,
      `service-refused ${B}`,
    ]);
  });

  test('only what is computed from faults is a consequence', () => {
    expect(['path-missing', 'single-point', 'group-lost'].every(isConsequence)).toBe(true);
    expect(['service-refused', 'paths-unequal', 'group-single-path', 'toString'].some(isConsequence)).toBe(
      false,
    );
  });
});
