/** Every code that DESIGN 6 fixes for the site has its row, and every row says something in each of its places. */
import { describe, expect, it } from 'vitest';
import { CABLING_RULES } from '../../src/findings/cabling.js';
import { SITE_RULES } from '../../src/findings/site.js';

const FIXED: Record<string, string> = {
  'address-taken': 'stop',
  'default-address-taken': 'stop',
  'default-address-clash': 'stop',
  'default-address-still-answers': 'fix',
  'duplicate-address': 'stop',
  'wrong-device': 'stop',
  'endpoint-missing': 'fix',
  'service-missing': 'fix',
  'service-refused': 'fix',
  stranger: 'note',
  'wrong-switch-port': 'fix',
  'link-down': 'fix',
  'speed-below-plan': 'fix',
  'mtu-below-plan': 'fix',
  'portal-missing': 'fix',
  'snmp-no-answer': 'fix',
  'no-echo': 'fix',
  'proxy-arp': 'note',
  'certificate-expired': 'fix',
  'observation-differs': 'fix',
  'observation-open': 'note',
};
const ROWS = { ...SITE_RULES, ...CABLING_RULES } as Record<
  string,
  { severity: string; family: string; title: string; explain: Record<string, string> }
>;

describe('rows of the site', () => {
  it.each(Object.entries(FIXED))('%s is there, as %s', (code, severity) => {
    expect(ROWS[code]?.severity).toBe(severity);
    expect(ROWS[code]?.family).toBe('site');
  });

  it('has portal-unplanned', () => expect(ROWS['portal-unplanned']).toBeDefined());

  it.each(Object.entries(SITE_RULES))('%s explains itself in four whole sentences or more', (_code, row) => {
    expect(row.title).not.toMatch(/[.!]$/);
    for (const part of [row.explain.means, row.explain.matters, row.explain.seen, row.explain.todo])
      expect(part).toMatch(/^[A-Z"].{20,}[.]$/s);
  });
});
