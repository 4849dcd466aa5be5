/** The command line of the system's own OpenSSH client. Its configuration, agent, known hosts and jump hosts are the user's. Pure. */
import type { RemotePlace } from './place.js';

/** A host that does not take the connection is given up after so long. */
const CONNECT_SECONDS = 10;
/** A connection that died is noticed after three of these. */
const ALIVE_SECONDS = 5;

/** ssh_config(5) of OpenSSH, by option. What is said here stands before what a configuration file says. */
const OPTIONS = [
  // Never asks for a password or a passphrase, and refuses a host key that is not known.
  'BatchMode=yes',
  'StrictHostKeyChecking=yes',
  `ConnectTimeout=${CONNECT_SECONDS}`,
  `ServerAliveInterval=${ALIVE_SECONDS}`,
  'ServerAliveCountMax=3',
  // Nothing of this laptop is lent to that place.
  'ForwardAgent=no',
  'ForwardX11=no',
  'ClearAllForwardings=yes',
  'PermitLocalCommand=no',
  'RequestTTY=no',
  'EscapeChar=none',
];

/** Everything else travels over standard input, so that no argument holds anything of the plan. */
export const REMOTE_SHELL = 'sh';

/** `command`: what is started there, as one word for whatever shell the login has. */
export function sshArguments(
  { host, user, port }: Pick<RemotePlace, 'host' | 'user' | 'port'>,
  command: string = REMOTE_SHELL,
): string[] {
  return [
    ...OPTIONS.flatMap((option) => ['-o', option]),
    ...(port === undefined ? [] : ['-p', String(port)]),
    ...(user === undefined ? [] : ['-l', user]),
    '--',
    host,
    command,
  ];
}
