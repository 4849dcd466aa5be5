import { ObjectType, type Varbind } from 'net-snmp';
import { describe, expect, it } from 'vitest';
import { addressFromBytes, bytesValue, macValue, numberValue, textValue } from '../../src/snmp/values.js';

const octets = (value: Buffer): Varbind => ({ oid: '1.3.6.1', type: ObjectType.OctetString, value });

describe('values', () => {
  // RFC 3416 §3: an answer may say that there is no such thing.
  it.each([ObjectType.NoSuchObject, ObjectType.NoSuchInstance, ObjectType.EndOfMibView])(
    'has none for exception %i',
    (type) => {
      const varbind = { oid: '1.3.6.1', type, value: null };
      expect([textValue(varbind), numberValue(varbind), bytesValue(varbind)]).toEqual([
        undefined,
        undefined,
        undefined,
      ]);
    },
  );

  it('cleans text, drops padding, and takes empty text for none', () => {
    expect(textValue(octets(Buffer.from('vault\u001b[2J\0\0')))).toBe('vault\\u001b[2J');
    expect(textValue(octets(Buffer.from('  \0')))).toBeUndefined();
    expect(textValue(octets(Buffer.from([0x66, 0xff, 0x6f])))).toContain('f');
  });

  it('takes six octets for a MAC and nothing else', () => {
    expect(macValue(octets(Buffer.from('00005e005345', 'hex')))).toBe('00:00:5e:00:53:45');
    expect(macValue(octets(Buffer.alloc(8)))).toBeUndefined();
    expect(macValue({ oid: '1.3', type: ObjectType.Integer, value: 7 })).toBeUndefined();
  });

  it('reads numbers of any width', () => {
    expect(numberValue({ oid: '1.3', type: ObjectType.Counter64, value: 5n })).toBe(5);
    expect(numberValue(octets(Buffer.from('7')))).toBeUndefined();
  });

  it.each([
    [[192, 0, 2, 7], '192.0.2.7'],
    [[0x20, 1, 0xd, 0xb8, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 7], '2001:db8::7'],
    [[192, 0, 2], undefined],
    [[192, 0, 2, 256], undefined],
  ])('address of %j', (bytes, address) => {
    expect(addressFromBytes(bytes)).toBe(address);
  });
});
