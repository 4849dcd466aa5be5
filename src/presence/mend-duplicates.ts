/** What the user can do so that a hidden second device would be seen, on this system. */
import { familyOf } from '../plan/address.js';
import type { AddressRecord } from './record.js';

export function duplicateMend(
  platform: string,
  { address, ownMac }: Pick<AddressRecord, 'address' | 'ownMac'>,
  captured: boolean,
): string {
  // arping speaks IPv4 alone; for an own address it is the only one that asks (RFC 5227 §2.1.1).
  const arpingHelps = familyOf(address) === 4;
  if (ownMac !== undefined)
    return arpingHelps && platform !== 'win32'
      ? 'Install arping and run it with sudo: it asks whether another device holds the address; or look from another laptop'
      : 'Look from another laptop, or take the address off this one';
  // It would have been seen, had the system asked: it had learnt the address from a question of the device itself (RFC 826).
  if (captured)
    return 'Run it with administrator rights, or again in some minutes: then the system asks anew';
  if (platform === 'darwin') return 'Run it with sudo: tcpdump, which macOS has, then shows every answer';
  if (platform === 'win32')
    return 'Install a capture program (dumpcap with its packet driver) and open the console as administrator: then every answer is shown';
  return `Install tcpdump and run it with sudo${arpingHelps ? ' (or install arping, which on many systems needs no more rights)' : ''}: then every answer is shown`;
}
