import { type Decoded, decoded, type Refusal, refuse } from '../../src/wire/decoded.js';
import { type Pdu, takePdu } from '../../src/wire/iscsi/pdu.js';

/** All PDUs of a complete run of bytes. */
export function decodePdus(bytes: Uint8Array): Decoded<readonly Pdu[]> {
  const pdus: Pdu[] = [];
  let at = 0;
  while (at < bytes.length) {
    const taken = takePdu(bytes.subarray(at));
    if (!taken.ok) return { ...taken, at: taken.at + at } satisfies Refusal;
    if (taken.value === undefined) return refuse('truncated', bytes.length, 'iSCSI: a PDU past the end');
    pdus.push(taken.value.pdu);
    at += taken.value.size;
  }
  return decoded(pdus);
}
