/** `ssh://user@host[:port]`: another place to look from. Its parts go to a program's arguments, so they are held to plain names. */
import { parseAddress } from '../../plan/address.js';
import { bad, type Reading, read } from '../reading.js';

const FORM =
  /^ssh:\/\/(?:([A-Za-z0-9_][\w.-]{0,63})@)?(\[[0-9A-Fa-f:.]+\]|[A-Za-z0-9][A-Za-z0-9.-]{0,252})(?::(\d{1,5}))?\/?$/;

/** The same text, without a `/` at the end. A password in it is refused: ssh has keys for that. */
export function readSshPlace(text: string): Reading<string> {
  const expected = 'ssh://user@host or ssh://user@host:port, without a password';
  const [, user, host = '', port] = FORM.exec(text) ?? [];
  if (host === '') return bad(expected);
  if (host.startsWith('[') && parseAddress(host.slice(1, -1)) === undefined) return bad(expected);
  if (port !== undefined && (Number(port) < 1 || Number(port) > 65_535)) return bad(expected);
  return read(
    `ssh://${user === undefined ? '' : `${user}@`}${host}${port === undefined ? '' : `:${Number(port)}`}`,
  );
}
