import { inspect } from 'node:util';
import { describe, expect, it } from 'vitest';
import type { SnmpCredential } from '../../src/plan/model.js';
import { Secret } from '../../src/plan/secret.js';
import { resolveCredential } from '../../src/snmp/credentials.js';

const credential = (parts: Partial<SnmpCredential>): SnmpCredential => ({
  name: 'site-ro',
  version: '2c',
  port: 161,
  at: { file: 'plan.yaml' },
  ...parts,
});

const sources = {
  env: { SITE_SNMP: 'from-env', EMPTY: '' },
  readFile: async (path: string) => {
    if (path === 'key.txt') return 'from-file\r\n';
    if (path === 'empty.txt') return '\n';
    throw new Error(`ENOENT ${path}`);
  },
};

describe('resolveCredential', () => {
  it.each([
    ['a variable', { kind: 'env', name: 'SITE_SNMP' }, 'from-env'],
    ['a file, without its line end', { kind: 'file', path: 'key.txt' }, 'from-file'],
    ['a literal', { kind: 'literal', value: new Secret('literal-one') }, 'literal-one'],
  ] as const)('reads %s', async (_, community, text) => {
    const resolved = await resolveCredential(credential({ community }), sources);
    if ('missing' in resolved) throw new Error(resolved.missing);
    expect(resolved.community?.reveal()).toBe(text);
    expect(JSON.stringify(resolved) + inspect(resolved)).not.toContain(text);
  });

  it('reads both keys of version 3', async () => {
    const env = { kind: 'env', name: 'SITE_SNMP' } as const;
    const resolved = await resolveCredential(
      credential({ version: '3', user: 'keeper', authKey: env, privKey: env, auth: 'sha', priv: 'aes' }),
      sources,
    );
    expect(resolved).toMatchObject({ version: '3', user: 'keeper', auth: 'sha', priv: 'aes' });
    if (!('missing' in resolved)) expect(resolved.privKey?.reveal()).toBe('from-env');
  });

  it.each([
    [{ kind: 'env', name: 'UNSET' }, 'the environment variable UNSET is not set'],
    [{ kind: 'env', name: 'EMPTY' }, 'the environment variable EMPTY is not set'],
    [{ kind: 'file', path: 'nowhere.txt' }, 'the file nowhere.txt cannot be read'],
    [{ kind: 'file', path: 'empty.txt' }, 'the file empty.txt is empty'],
  ] as const)('%j is missing', async (community, why) => {
    expect(await resolveCredential(credential({ community }), sources)).toEqual({
      missing: `credential site-ro: ${why}`,
    });
  });
});
