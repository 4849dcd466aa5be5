/** Why a place could not be looked from, as data and as one sentence. Pure. */
import { cleanText } from '../text/clean.js';

const TROUBLES = [
  'no-ssh',
  'unknown-host',
  'unreachable',
  'host-key',
  'login',
  'no-shell',
  'old-node',
  'garbage',
  'too-much',
  'silent',
  'too-slow',
  'ended',
  'agent-failed',
  'interrupted',
] as const;
export type Trouble = (typeof TROUBLES)[number];

export interface PlaceTrouble {
  readonly trouble: Trouble;
  /** What ssh or the place itself said, cleaned. */
  readonly said?: string | undefined;
}

const SENTENCES: Readonly<Record<Trouble, string>> = {
  'no-ssh': 'this laptop has no ssh program: install the OpenSSH client',
  'unknown-host': 'its name leads to no address',
  unreachable: 'it takes no SSH connection',
  'host-key':
    'its host key is not known here, or is another than before: connect once by hand and compare the key',
  login: 'it does not let this user in: a key or an SSH agent is needed, no password is asked',
  'no-shell':
    'the login works, but it has neither a POSIX shell nor Node: a Windows host needs Node 20 or newer in its PATH',
  'old-node': 'it has no POSIX shell, and its Node is too old: 20 or newer is needed',
  garbage: 'what it sent cannot be read',
  'too-much': 'it sent more than is read',
  silent: 'it said nothing for too long',
  'too-slow': 'it was not done in time',
  ended: 'the connection ended before the look was over',
  'agent-failed': 'the look failed there',
  interrupted: 'the run was ended first',
};

export function troubleText({ trouble, said }: PlaceTrouble): string {
  const detail = cleanText(said ?? '', 200);
  return `${SENTENCES[trouble]}${detail === '' ? '' : ` (it said: ${detail})`}`;
}

/** By what the OpenSSH client prints in English (its messages are not translated; from memory), for a connection that brought nothing. */
export function troubleOfSsh(exitCode: number | undefined, stderr: string): PlaceTrouble {
  const lines = stderr.split('\n').map((line) => line.trim());
  const said = lines
    .filter((line) => line !== '' && !/^(Warning: Permanently|Pseudo-terminal)/.test(line))
    .at(-1);
  const of = (trouble: Trouble): PlaceTrouble => ({ trouble, ...(said === undefined ? {} : { said }) });
  if (/Host key verification failed|REMOTE HOST IDENTIFICATION|host key is known/i.test(stderr))
    return of('host-key');
  if (/Permission denied|Too many authentication failures|No supported authentication/i.test(stderr))
    return of('login');
  if (/Could not resolve hostname/i.test(stderr)) return of('unknown-host');
  if (exitCode === 255) return of('unreachable');
  return of('no-shell');
}
