import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { decodeDiscovery, encodeDiscovery } from '../../src/wire/snmp-discovery.js';

/** Frames 8 and 9 of the project's capture snmp.hex: `snmpget -v3` of net-snmp 5.9 and snmpd, seen by tshark 4.0.17. */
const QUESTION =
  '303e020103301102042d4e2e7a020300ffe30401040201030410300e0400020100020100040004000400301404000400a00e02044194e41f0201000201003000';
const REPORT =
  '3071020103301102042d4e2e7a020300ffe30401000201030421301f041180001f8880768cef1de17e066b0000000002010102011f0400040004003036041180001f8880768cef1de17e066b000000000400a81f02044194e41f0201000201003011300f060a2b060106030f01010400410101';
/** Frame 11: an encrypted response. */
const ENCRYPTED =
  '30819d020103301102042d4e2e79020300ffe3040103020103043a3038041180001f8880768cef1de17e066b0000000002010102011f04056d61706c65040cd93b53b28266c3deeb4d576604087f826af01ae47fe1044940889a33e13cbcf8e5bf72fbdd66577f10164397d40d60244a41500420276d5a15fb7d799fb0d6a2e21e35d4c6a8f347b199ccb4acf025f79c341da7fa4d2006a57f91d6fdf317e940';

const bytes = (hex: string) => Uint8Array.from(Buffer.from(hex, 'hex'));

describe('SNMPv3 discovery', () => {
  it('asks byte for byte what a general tool asks', () => {
    expect(Buffer.from(encodeDiscovery(0x2d4e2e7a, 0x4194e41f)).toString('hex')).toBe(QUESTION);
  });

  it('reads the engine id from the report', () => {
    expect(decodeDiscovery(bytes(REPORT))).toEqual({
      kind: 'engine',
      messageId: 0x2d4e2e7a,
      engineId: '80001f8880768cef1de17e066b00000000',
    });
  });

  it.each([
    ['its own question', QUESTION],
    ['an encrypted answer', ENCRYPTED],
    [
      'a version 2c answer',
      '302d02010104067075626c6963a220020404c9074e02010002010030123010060c2b060102012f010101010b018000',
    ],
    ['nothing', ''],
    ['text', Buffer.from('HTTP/1.1 400 Bad Request').toString('hex')],
  ])('%s is none', (_, hex) => {
    expect(decodeDiscovery(bytes(hex))).toEqual({ kind: 'not-snmpv3' });
  });

  it('reads any bytes, and any cut of the report, without a throw', () => {
    const report = bytes(REPORT);
    for (let length = 0; length < report.length; length += 1) {
      expect(decodeDiscovery(report.subarray(0, length)).kind).toBe('not-snmpv3');
    }
    fc.assert(fc.property(fc.uint8Array({ maxLength: 200 }), (random) => void decodeDiscovery(random)));
    fc.assert(
      fc.property(fc.nat(report.length - 1), fc.nat(255), (at, octet) => {
        const changed = report.slice();
        changed[at] = octet;
        decodeDiscovery(changed);
      }),
    );
  });

  it('has a message for every id there is', () => {
    for (const id of [1, 0x7f, 0x80, 0xffff, 0x7fffffff]) {
      expect(Buffer.from(encodeDiscovery(id)).toString('hex')).toContain('a0');
    }
  });
});
