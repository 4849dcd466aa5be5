/** Real sshd on lab hosts, and an ssh client on the laptop that knows their keys and has one of its own. */
import { chmodSync, existsSync, mkdirSync, symlinkSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import type { Lab, LabHost } from './lab.js';
import { must, type Running } from './run.js';

export const SSHD = '/usr/sbin/sshd';

export interface SshKeys {
  readonly host: string;
  readonly user: string;
  /** Folder with an `ssh` that uses the lab's configuration: put it first in PATH. */
  readonly bin: string;
}

/** Keys for a lab, and the client's configuration: all hosts share a host key, which the client knows. */
export async function makeSshKeys(lab: Lab): Promise<SshKeys> {
  const folder = path.join(lab.folder, 'ssh');
  const bin = path.join(folder, 'bin');
  mkdirSync(bin, { recursive: true });
  const [host, user] = [path.join(folder, 'host'), path.join(folder, 'user')];
  for (const file of [host, user])
    await must('ssh-keygen', ['-q', '-t', 'ed25519', '-N', '', '-C', 'lab.example', '-f', file]);
  const publicKey = await must('cat', [`${host}.pub`]);
  writeFileSync(path.join(folder, 'known'), `* ${publicKey}`);
  const config = path.join(folder, 'config');
  writeFileSync(
    config,
    ['Host *', `IdentityFile ${user}`, 'IdentitiesOnly yes', `UserKnownHostsFile ${folder}/known`, ''].join(
      '\n',
    ),
  );
  writeFileSync(path.join(bin, 'ssh'), `#!/bin/sh\nexec /usr/bin/ssh -F ${config} "$@"\n`);
  chmodSync(path.join(bin, 'ssh'), 0o755);
  return { host, user, bin };
}

export interface SshdOptions {
  /** PATH of who logs in; default: that of the system. */
  readonly path?: string;
  /** What runs instead of what the client asks for. */
  readonly force?: string;
  /** A host key that the client does not know. */
  readonly hostKey?: string;
}

export async function startSshd(host: LabHost, keys: SshKeys, options: SshdOptions = {}): Promise<Running> {
  mkdirSync('/run/sshd', { recursive: true });
  const file = path.join(host.lab.folder, `sshd-${host.name}.conf`);
  writeFileSync(
    file,
    [
      'Port 22',
      `HostKey ${options.hostKey ?? keys.host}`,
      `AuthorizedKeysFile ${keys.user}.pub`,
      `PidFile none`,
      'StrictModes no',
      'UsePAM no',
      'PasswordAuthentication no',
      'PermitRootLogin prohibit-password',
      ...(options.path === undefined ? [] : [`SetEnv PATH=${options.path}`]),
      ...(options.force === undefined ? [] : [`ForceCommand ${options.force}`]),
      '',
    ].join('\n'),
  );
  const running = host.start(SSHD, ['-D', '-e', '-f', file]);
  await running.waitFor(/Server listening on 0\.0\.0\.0/);
  return running;
}

const FOLDERS = ['/usr/bin', '/usr/sbin', '/bin', '/sbin'];

/** A PATH with these programs alone. */
export function pathWith(lab: Lab, name: string, programs: readonly string[]): string {
  const folder = path.join(lab.folder, `path-${name}`);
  mkdirSync(folder, { recursive: true });
  for (const program of programs) {
    const place = FOLDERS.map((each) => path.join(each, program)).find((each) => existsSync(each));
    if (place !== undefined && !existsSync(path.join(folder, program)))
      symlinkSync(place, path.join(folder, program));
  }
  return folder;
}
