/** A planned identity that no answer told, for the reasons of an endpoint whose box is there. The verdict stays. */
import { fitOfBox } from '../identity/fit.js';
import { unreadOf } from '../identity/unread.js';
import { identityOf, physicalMacs, rightBox } from '../identity/wrong-device.js';
import type { EndpointFacts } from './facts.js';

export function unidentified(facts: EndpointFacts): string[] {
  const { view, endpoint, device, claimed, looks, best } = facts;
  if (best === undefined) return [];
  const controller = endpoint.virtual ? undefined : endpoint.controller;
  const { fits, mismatches, unread } = fitOfBox(device, controller, identityOf(looks) ?? {});
  if (unread.length === 0) return [];
  const { lines, untold } = unreadOf(unread, endpoint, best.sighting);
  const shown = rightBox(view.plan, endpoint, claimed, looks, { prefixCounts: false }).because.length > 0;
  if (fits.length > 0 || mismatches.length > 0 || shown || agentHasIt(facts)) return [...lines];
  const prefix = rightBox(view.plan, endpoint, claimed, looks).because.length > 0;
  const said = prefix
    ? `nothing but the MAC prefix shows which box is at ${best.sighting.address}`
    : `the box at ${best.sighting.address} was not identified`;
  const why =
    untold.length === 0 ? '' : `: nothing that is planned at this port tells the ${untold.join(' or the ')}`;
  return [...lines, `${said}${why}`];
}

/** The agent of the device names the address, or the MAC that claims it, as one of its own ports. */
function agentHasIt({ cabling, claimed, endpoint }: EndpointFacts): boolean {
  const link = cabling?.link;
  if (link === undefined) return false;
  return (
    link.addresses.includes(endpoint.address ?? '') ||
    (link.mac !== undefined && physicalMacs(claimed).includes(link.mac))
  );
}
