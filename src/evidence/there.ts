/** Did anybody answer at an address? The one place that says what counts as somebody being there. */
import type { AddressSighting } from '../sighting/types.js';
import { anyAnswer, type Response, responsesOf } from './responses.js';

/** A claim by ARP or neighbour discovery that is no router's that answers for everything, or any answer that only the device can give. */
export function somebodyThere(
  claimed: { readonly byDevice: boolean },
  ...responses: readonly (readonly Response[])[]
): boolean {
  return claimed.byDevice || responses.some(anyAnswer);
}

/** By one sighting alone, while a run is under way and nobody knows yet which claims are a router's or which pages a portal's. */
export function thereAlone(sighting: AddressSighting): boolean {
  return sighting.presence.outcome === 'claimed' || anyAnswer(responsesOf(sighting));
}
