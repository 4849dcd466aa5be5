import { describe, expect, test } from 'vitest';
import { reviewGroups } from '../../src/redundancy/index.js';
import { reviewHeadline } from '../../src/review/headline.js';
import { visitList } from '../../src/review/packing.js';
import { renderReview } from '../../src/terminal/review.js';
import { aGroup, anEndpoint, aPlan } from '../support/evidence.js';
import { aFinding } from '../support/matrix.js';
import { sampleMatrix, samplePlan } from '../support/sample-matrix.js';

const style = { width: 90, colour: false, unicode: true };
const { groups, capacity } = sampleMatrix();
const visit = visitList(samplePlan());
const NONE = { free: [], bring: [] };

describe('terminal review', () => {
  test('the outcome in a line, then what would stop the visit, then the groups as planned, then the addresses left', () => {
    const findings = [
      aFinding('mask-mismatch', 'fix', 'vault-1/A/mgmt', 'vault-1/A/mgmt says /25, its neighbours /24.'),
      aFinding('not-enough-addresses', 'stop', 'mgmt', 'mgmt needs 12 addresses and has 6.'),
    ];
    const text = renderReview({ site: 'Harbour Library', findings, groups, capacity, visit }, style);
    expect(text).toMatch(
      /^Harbour Library: 1 thing in the plan would stop the visit, and 1 thing to fix\.[^\n]*\n[^\n]*\n*STOP {3}1\. Not enough addresses: mgmt/,
    );
    expect(text.indexOf('Redundancy as planned')).toBeGreaterThan(text.indexOf('FIX    2.'));
    expect(text).toContain(
      '! at risk    press-1 to vault-1: 2 planned, 2 needed; ends with controller vault-1/A',
    );
    expect(text).toContain('  mgmt     192.0.2.0/24     254        4         9   241');
    expect(text).toContain('mgmt needs 12 addresses and has 6.');
    expect(text.indexOf('To bring')).toBeGreaterThan(text.indexOf('The site must have ready'));
    for (const { what, text: words } of [...visit.free, ...visit.bring])
      expect(text.replace(/\s+/g, ' ')).toContain(`${what} ${words}`.slice(0, 60));
  });

  test('an unproven group says why, and what to write into the plan', () => {
    const plan = aPlan({
      endpoints: ['press-1/hba0', 'press-1/hba1'].map((id, index) =>
        anEndpoint(id, { role: 'host', address: `192.0.2.${41 + index}` }),
      ),
      groups: [aGroup('press-1', ['press-1/hba0', 'press-1/hba1'], { independent: ['controller'] })],
    });
    const planned = reviewGroups(plan).groups;
    expect(planned[0]?.asPlanned.verdict).toBe('unproven');
    const text = renderReview(
      { site: 'Harbour Library', findings: [], groups: planned, capacity: [], visit: NONE },
      style,
    ).replace(/\s+/g, ' ');
    expect(text).toContain('? unproven press-1: 2 planned, 1 needed. ');
    expect(text).toContain(
      'The plan asks for an independent controller, as it does where a group says nothing else, and names none for press-1/hba0 and press-1/hba1:',
    );
  });

  test('a note keeps its words: no page has them', () => {
    const findings = [aFinding('literal-secret', 'note', 'site-ro', 'The credential stands in the plan.')];
    const text = renderReview(
      { site: 'Harbour Library', findings, groups: [], capacity: [], visit: NONE },
      style,
    );
    expect(text).toContain('The credential stands in the plan.');
    expect(text).toContain('Do: Look at it.');
  });

  test('a sound plan is not called proven', () => {
    const text = renderReview(
      { site: 'Harbour Library', findings: [], groups: [], capacity: [], visit: NONE },
      style,
    );
    expect(text.replace(/\s+/g, ' ').trim()).toBe(`Harbour Library: ${reviewHeadline([])}`);
  });
});
