import { createPrivateKey, createPublicKey, generateKeyPairSync, type KeyObject } from 'node:crypto';
import { describe, expect, it } from 'vitest';
import { fitsKey, keyIn, signBytes } from '../../src/seal/sign.js';

const bytes = (hex: string): Buffer => Buffer.from(hex, 'hex');
/** RFC 8410 §7: OneAsymmetricKey around the 32 octets of the seed. */
const keyOfSeed = (seed: string): KeyObject =>
  createPrivateKey({
    key: Buffer.concat([bytes('302e020100300506032b657004220420'), bytes(seed)]),
    format: 'der',
    type: 'pkcs8',
  });
/** RFC 8410 §4: the last 32 octets of the SubjectPublicKeyInfo are the key. */
const publicOctets = (key: KeyObject): string =>
  key.export({ type: 'spki', format: 'der' }).subarray(-32).toString('hex');

/** RFC 8032 §7.1, TEST 1 to TEST 3. */
const VECTORS = [
  {
    name: 'TEST 1',
    seed: '9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60',
    publicKey: 'd75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a',
    message: '',
    signature:
      'e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701cf9b46bd25bf5f0595bbe24655141438e7a100b',
  },
  {
    name: 'TEST 2',
    seed: '4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb',
    publicKey: '3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c',
    message: '72',
    signature:
      '92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00',
  },
  {
    name: 'TEST 3',
    seed: 'c5aa8df43f9f837bedb7442f31dcb7b166d38535076f094b85ce3a2e0b4458f7',
    publicKey: 'fc51cd8e6218a1a38da47ed00230f0580816ed13ba3303ac5deb911548908025',
    message: 'af82',
    signature:
      '6291d657deec24024827e69c3abe01a30ce548a284743a445e3680d7db5ac3ac18ff9b538d16f290ae67f760984dc6594a7c15e9716ed28dc027beceea1ec40a',
  },
] as const;

describe('Ed25519 signatures', () => {
  it.each(VECTORS)(
    'signs as RFC 8032 §7.1 $name, and takes that signature',
    ({ seed, publicKey, message, signature }) => {
      const key = keyOfSeed(seed);
      const made = signBytes(bytes(message), key);
      expect(Buffer.from(made).toString('hex')).toBe(signature);
      expect(publicOctets(createPublicKey(key))).toBe(publicKey);
      expect(fitsKey(bytes(message), made, createPublicKey(key))).toBe(true);
    },
  );

  it('refuses a changed message, a changed signature, a cut one and another key', () => {
    const message = new TextEncoder().encode('as planned');
    const { privateKey, publicKey } = generateKeyPairSync('ed25519');
    const made = signBytes(message, privateKey);
    const flipped = Uint8Array.from(made);
    flipped[0] = (flipped[0] ?? 0) ^ 1;
    const other = generateKeyPairSync('ed25519').publicKey;
    for (const [signed, signature, key] of [
      [new TextEncoder().encode('as Planned'), made, publicKey],
      [message, flipped, publicKey],
      [message, made.subarray(0, 63), publicKey],
      [message, Buffer.concat([made, made]), publicKey],
      [message, new Uint8Array(), publicKey],
      [message, made, other],
    ] as const)
      expect(fitsKey(signed, signature, key)).toBe(false);
    expect(fitsKey(message, made, publicKey)).toBe(true);
  });

  it.each([
    ['no key at all', 'AAAA'],
    ['text that is no Base64', '\u0000!'],
    [
      'a key for something else',
      generateKeyPairSync('ec', { namedCurve: 'P-256' })
        .publicKey.export({ type: 'spki', format: 'der' })
        .toString('base64'),
    ],
  ])('finds no key of an old seal in %s', (_name, publicKey) => {
    expect(keyIn({ algorithm: 'Ed25519', publicKey, value: 'AAAA' })).toBeUndefined();
  });
});
