import { describe, expect, it } from 'vitest';
import { duplicateMend } from '../../src/presence/mend-duplicates.js';

describe('how a hidden second device can be made to show itself', () => {
  it('names arping for IPv4 alone: it asks by ARP (RFC 826), which IPv6 does not have (RFC 4861)', () => {
    expect(duplicateMend('linux', { address: '192.0.2.11' }, false)).toMatch(/tcpdump.*arping/);
    expect(duplicateMend('linux', { address: '2001:db8::11' }, false)).toMatch(/tcpdump/);
    expect(duplicateMend('linux', { address: '2001:db8::11' }, false)).not.toContain('arping');
  });

  it("does not name tcpdump for the laptop's own address: a system does not ask for it, so nothing is to be heard", () => {
    for (const platform of ['linux', 'darwin', 'win32']) {
      const mend = duplicateMend(platform, { address: '192.0.2.5', ownMac: '00:00:5e:00:53:05' }, false);
      expect(mend).not.toContain('tcpdump');
      expect(mend).toMatch(/another laptop/);
    }
  });

  it('names no capture where one ran: the system did not ask', () => {
    const mend = duplicateMend('linux', { address: '192.0.2.11' }, true);
    expect(mend).toContain('administrator rights');
    expect(mend).not.toContain('tcpdump');
  });

  it('names what is there on each system', () => {
    expect(duplicateMend('darwin', { address: '192.0.2.11' }, false)).toContain('sudo');
    expect(duplicateMend('win32', { address: '192.0.2.11' }, false)).toContain('administrator');
  });
});
