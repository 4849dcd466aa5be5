import { execFileSync } from 'node:child_process';
import { describe, expect, it } from 'vitest';
import { greeting, nodeCommand, readGreeting } from '../../src/remote/greeting.js';

const NONCE = 'abc123';
const answer = (env: Record<string, string>): string =>
  execFileSync('/bin/sh', { input: greeting(NONCE), env, encoding: 'utf8' });

describe.skipIf(process.platform === 'win32')('greeting', () => {
  it('is answered by the Node of the place, which ends with its input', () => {
    const node = process.execPath.replace(/\/[^/]*$/, '');
    const lines = answer({ PATH: `${node}:/usr/bin:/bin` })
      .trim()
      .split('\n');
    expect(lines.map((line) => readGreeting(line, NONCE))).toEqual([
      { kind: 'node', version: process.versions.node },
    ]);
  });

  it('is answered by the shell where there is no Node', () => {
    expect(readGreeting(answer({ PATH: '/nowhere' }), NONCE)).toEqual({ kind: 'shell' });
  });
});

describe('nodeCommand', () => {
  // cmd.exe (`cmd /?`) and PowerShell (about_Quoting_Rules): what acts between double quotes there, from memory.
  it('is one line with nothing between its double quotes that a shell of any system takes for its own', () => {
    const command = nodeCommand(NONCE);
    expect(command).toMatch(/^node -e "[A-Za-z0-9+/=(),.']+" abc123$/);
    // All that cmd.exe takes in a line.
    expect(command.length).toBeLessThan(8191);
  });

  it.skipIf(process.platform === 'win32')('starts the same loader', () => {
    const node = process.execPath.replace(/\/[^/]*$/, '');
    const said = execFileSync('/bin/sh', ['-c', nodeCommand(NONCE)], {
      input: '',
      env: { PATH: node },
      encoding: 'utf8',
    });
    expect(readGreeting(said, NONCE)).toEqual({ kind: 'node', version: process.versions.node });
  });
});

describe('readGreeting', () => {
  it.each(['', 'Welcome to press-1', 'abc123', 'abc123 node', 'xyz789 node 20.1.0', 'abc123 node 20; rm'])(
    'takes %j for what a login prints',
    (line) => {
      expect(readGreeting(line, NONCE)).toBeUndefined();
    },
  );

  it('tells a Node that is too old', () => {
    expect(readGreeting('abc123 shell 16.20.2', NONCE)).toEqual({ kind: 'shell', version: '16.20.2' });
  });
});
