import { describe, expect, it } from 'vitest';
import { createDiscovery } from '../../../src/wire/iscsi/discovery.js';
import type { Pdu } from '../../../src/wire/iscsi/pdu.js';
import { fromHex, toHex } from '../../support/hex.js';
import { decodePdus } from '../../support/pdus.js';
import { mustDecode } from '../fixture.js';
import { golden } from '../golden.js';

const PACKETS = golden('iscsi');
const ISID = fromHex('801234560000');
const CONNECTION = { address: '192.0.2.45', port: 3260 };

function said(name: string): Pdu {
  const hex = PACKETS.find((packet) => packet.name.startsWith(name))?.hex ?? '';
  const [pdu] = mustDecode(decodePdus(fromHex(hex)));
  if (pdu === undefined) throw new Error(`no packet ${name}`);
  return pdu;
}

describe('against the captured answers of a real target (tgt 1.0.85)', () => {
  it('goes through security, operational, text and logout, and lists what the target listed', () => {
    const session = createDiscovery({ connection: CONNECTION, isid: ISID });
    const first = toHex(session.start());
    expect(first.slice(0, 4)).toBe('4381');
    expect(first.slice(16, 28)).toBe('801234560000');

    const toOperational = session.receive(said('iscsi-minimal frame 6'));
    expect(toOperational.result).toBeUndefined();
    expect(toHex(toOperational.send[0] ?? new Uint8Array())).toMatch(/^4387/);

    const toText = session.receive(said('iscsi-minimal frame 9'));
    // The captured request of our socket script, word for word: StatSN 1 was seen, so 2 is expected.
    expect(toHex(toText.send[0] ?? new Uint8Array())).toBe(
      PACKETS.find(({ name }) => name.startsWith('iscsi-minimal frame 10'))?.hex,
    );

    const listed = session.receive(said('iscsi-minimal frame 11'));
    expect(listed.result).toEqual({
      outcome: 'listed',
      targets: [
        {
          name: 'iqn.2001-04.com.example:storage.disk2.sys1.xyz',
          portals: [{ address: '192.0.2.45', port: 3260, tag: 1 }],
        },
        {
          name: 'iqn.2001-04.com.example:storage.tape1.sys1.xyz',
          portals: [{ address: '192.0.2.45', port: 3260, tag: 1 }],
        },
      ],
    });
    expect(toHex(listed.send[0] ?? new Uint8Array())).toMatch(/^4680/);
    expect(listed.finished).toBe(false);
    expect(session.receive(said('iscsi-discovery frame 11:')).finished).toBe(true);
  });

  it.each([
    ['iscsi-minimal frame 20', '0207'],
    ['iscsi-minimal frame 30', '0203'],
    ['iscsi-minimal frame 40', '0205'],
  ])('%s is rejected with %s', (name, status) => {
    const session = createDiscovery({ connection: CONNECTION, isid: ISID });
    expect(session.receive(said(name))).toMatchObject({
      finished: true,
      result: { outcome: 'rejected', status },
    });
  });
});
