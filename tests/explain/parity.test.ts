import { describe, expect, test } from 'vitest';
import { ruleCodes, ruleOf } from '../../src/findings/rule-of.js';
import { renderExplanation } from '../../src/terminal/explain.js';

/** DESIGN 6, "Fixed finding codes". */
const FIXED = {
  plan: `address-duplicate address-outside-network address-reserved address-is-network-or-broadcast networks-overlap
    gateway-outside-network mac-duplicate default-address-shared default-address-in-network group-not-independent group-single-path
    not-enough-addresses rack-units-overlap feeds-not-redundant switch-port-duplicate literal-secret mask-mismatch`,
  site: `address-taken default-address-taken default-address-clash default-address-still-answers duplicate-address wrong-device
    endpoint-missing service-missing service-refused stranger wrong-switch-port link-down speed-below-plan mtu-below-plan
    portal-missing portal-unplanned snmp-no-answer no-echo proxy-arp certificate-expired observation-differs observation-open`,
  redundancy: 'path-missing single-point group-lost',
} as const;

const style = { width: 80, colour: false, unicode: true };

describe('every finding code', () => {
  test.each(Object.entries(FIXED))('the fixed codes of the family %s are there', (family, codes) => {
    for (const code of codes.split(/\s+/)) expect([code, ruleOf(code)?.family]).toEqual([code, family]);
  });

  test.each(ruleCodes())('%s says what it means, why it matters, how it was seen and what to do', (code) => {
    const rule = ruleOf(code);
    if (rule === undefined) throw new Error('no rule');
    expect(code).toMatch(/^[a-z]+(-[a-z]+)*$/);
    expect(['stop', 'fix', 'note']).toContain(rule.severity);
    expect(rule.title).toMatch(/^\S.{4,60}[^.]$/);
    const { means, matters, seen, todo } = rule.explain;
    for (const text of [means, matters, seen, todo]) {
      expect(text).toMatch(/^\S.*[.)]$/s);
      expect(text.split(' ').length).toBeGreaterThanOrEqual(3);
      expect(text).not.toMatch(/undefined|TODO|NaN|\$\{/);
    }
    expect(new Set([means, matters, seen, todo]).size).toBe(4);
    const shown = renderExplanation(code, rule, { ...style, width: 1000 }).replace(/\s+/g, ' ');
    // Marks of code are for documents: a terminal shows the words alone.
    for (const text of [rule.title, means, matters, seen, todo])
      expect(shown).toContain(text.replaceAll('`', '').replace(/\s+/g, ' '));
  });

  test('no two share a title', () => {
    const titles = ruleCodes().map((code) => ruleOf(code)?.title);
    expect(titles.filter((title, index) => titles.indexOf(title) !== index)).toEqual([]);
  });
});
