import type { Heard } from './listen.js';
import { type AddressRecord, addClaim } from './record.js';

/** Takes what a capture heard about an address into its record. Returns a sentence for the notes, if there is one. */
export function takeFrame(
  record: AddressRecord,
  heard: Heard,
  ownMacs: ReadonlySet<string>,
): string | undefined {
  if (heard.interface !== record.port) return undefined;
  if (ownMacs.has(heard.mac) || ownMacs.has(heard.frameSource)) {
    if (heard.kind !== 'claims' && heard.toAll) {
      record.heardQuestions += 1;
      record.cleared = false;
      record.methods.add('capture');
      record.heardQuestionMs = heard.atMs;
      record.firstHeardMs ??= heard.atMs;
      record.questionMs ??= heard.atMs;
      record.heardQuestionUs = heard.timeUs;
    }
    return undefined;
  }
  // A tagged frame that was not sent to us belongs to another network that happens to pass this port.
  const toUs = heard.frameDestination !== undefined && ownMacs.has(heard.frameDestination);
  if (heard.vlan !== undefined && !toUs) return undefined;
  if (heard.kind === 'wants')
    return `${heard.mac} was testing whether it may take ${record.address} while that was asked for (RFC 5227).`;
  if (heard.kind === 'claims') {
    record.triesToClaim ??= Math.max(1, record.heardQuestions);
    const afterMs = delay(record.heardQuestionUs, heard.timeUs);
    addClaim(record, {
      mac: heard.mac,
      method: 'capture',
      ...(heard.frameSource === heard.mac ? {} : { frameSource: heard.frameSource }),
      ...(heard.vlan === undefined ? {} : { vlan: heard.vlan }),
      ...(afterMs === undefined ? {} : { afterMs }),
      ...(heard.timeUs === undefined ? {} : { seenMs: heard.timeUs / 1000 }),
    });
  }
  return undefined;
}

function delay(fromUs: number | undefined, toUs: number | undefined): number | undefined {
  return fromUs === undefined || toUs === undefined || toUs < fromUs ? undefined : (toUs - fromUs) / 1000;
}
