import type { AddressSighting } from '../sighting/types.js';

/** What has to be said where one device claims an address and nothing shows that there is no second (DESIGN 6, last but one paragraph). */
export function unexcludedDuplicate({ presence }: Pick<AddressSighting, 'presence'>): string | undefined {
  if (presence.outcome !== 'claimed' || presence.duplicateCheck !== 'not-excluded') return undefined;
  const why = presence.duplicateCheckReason;
  return `a second device on this address could not be excluded${why === undefined ? '' : `: ${why}`}`;
}
