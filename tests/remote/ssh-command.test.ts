import { describe, expect, it } from 'vitest';
import { sshArguments } from '../../src/remote/ssh-command.js';

describe('sshArguments', () => {
  it('asks for no password, skips no host key, lends nothing of this laptop (ssh_config(5) of OpenSSH)', () => {
    const args = sshArguments({ host: 'press-1.example' });
    for (const option of ['BatchMode=yes', 'StrictHostKeyChecking=yes', 'ForwardAgent=no', 'RequestTTY=no'])
      expect(args[args.indexOf(option) - 1]).toBe('-o');
    expect(args.some((one) => /^ConnectTimeout=\d+$/.test(one))).toBe(true);
  });

  it('names the host behind the end of options, and the shell alone behind it', () => {
    const args = sshArguments({ host: 'press-1.example', user: 'ops', port: 2222 });
    expect(args.slice(-7)).toEqual(['-p', '2222', '-l', 'ops', '--', 'press-1.example', 'sh']);
    expect(sshArguments({ host: 'press-1.example' }, 'node -e "1"').slice(-3)).toEqual([
      '--',
      'press-1.example',
      'node -e "1"',
    ]);
  });
});
