/** Gathers what the facts are judged by, for every endpoint of the plan. */

import { claimsIn } from '../evidence/claim-index.js';
import type { Claimed } from '../evidence/claims.js';
import { claimsOf } from '../evidence/duplicate.js';
import { anyAnswer } from '../evidence/responses.js';
import type { View } from '../evidence/view.js';
import { attestationsOf, attestedLink, observationPlanned } from '../eyes/observations.js';
import { deviceFit } from '../identity/device-fit.js';
import { sameDevices } from '../identity/same-device.js';
import { swapsOf } from '../identity/swaps.js';
import { type WrongDevice, wrongDevice } from '../identity/wrong-device.js';
import type { Survey } from '../matrix/survey.js';
import type { Endpoint } from '../plan/model.js';
import { indexOf } from '../plan/plan-index.js';
import type { Evidence } from '../sighting/types.js';
import type { EndpointCabling } from './cabling.js';
import { serviceStatesOver } from './service-state.js';
import type { Situation } from './situation.js';

export interface GatherContext {
  readonly cabling: ReadonlyMap<string, EndpointCabling>;
  readonly defaultAddresses: ReadonlySet<string>;
  /** All evidence, of every stage: what eyes saw stays seen. */
  readonly allEvidence: readonly Evidence[];
  readonly survey?: Survey | undefined;
}

export function situationsOf(view: View, context: GatherContext): Situation[] {
  const { plan } = view;
  const devices = new Map(plan.devices.map((device) => [device.name, device]));
  const attestations = attestationsOf(context.allEvidence);
  const answered = answeredNetworks(view);
  const allClaims = claimsIn(view);
  const same = sameDevices(view);
  const bare = plan.endpoints.map((endpoint) => {
    const looks = endpoint.address === undefined ? [] : view.seen(endpoint.address);
    const best = looks[0];
    const claimed = endpoint.address === undefined ? NO_CLAIM : allClaims.best(endpoint.address);
    const claims =
      endpoint.address === undefined || endpoint.virtual
        ? undefined
        : claimsOf(view, allClaims.ever(endpoint.address), looks);
    const duplicate = claims?.kind === 'two-devices' ? claims.duplicate : undefined;
    const wrong =
      duplicate === undefined ? wrongDevice(plan, endpoint, claimed, looks, context.survey) : undefined;
    const fit = deviceFit(devices.get(endpoint.device), endpoint, claimed, looks);
    return { endpoint, looks, best, claimed, claims, duplicate, wrong, fit };
  });
  const wrongs = new Map(
    bare.flatMap(({ endpoint, wrong }): [string, WrongDevice][] =>
      wrong === undefined ? [] : [[endpoint.id, wrong]],
    ),
  );
  const swaps = swapsOf(
    plan.endpoints.filter(({ id }) => !same.has(id)),
    wrongs,
  );
  return bare.map((one): Situation => {
    const { endpoint, best } = one;
    const network = view.networkOf(endpoint);
    return {
      ...one,
      view,
      device: devices.get(endpoint.device),
      network,
      place:
        best === undefined || endpoint.address === undefined
          ? { kind: 'there' }
          : view.places.at(best.evidence, endpoint.address),
      swappedWith: swaps.get(endpoint.id),
      same: same.get(endpoint.id),
      services: serviceStatesOver(endpoint, one.looks),
      cabling: context.cabling.get(endpoint.id),
      attested: endpoint.address === undefined ? attestedLink(plan, endpoint, attestations) : undefined,
      observationPlanned: observationPlanned(plan, endpoint),
      elsewhere: elsewhere(endpoint, view, context.defaultAddresses),
      neighbourAnswered:
        best !== undefined &&
        [...(answered.get(best.evidence)?.get(network?.name ?? '') ?? [])].some(
          (address) => address !== endpoint.address,
        ),
    };
  });
}

/** For each run, the networks from which a planned address answered, with those addresses. */
function answeredNetworks(view: View): Map<Evidence, Map<string, Set<string>>> {
  const result = new Map<Evidence, Map<string, Set<string>>>();
  for (const endpoint of view.plan.endpoints) {
    const name = view.networkOf(endpoint)?.name;
    if (name === undefined || endpoint.address === undefined) continue;
    for (const look of view.seen(endpoint.address)) {
      if (!anyAnswer(look.responses)) continue;
      const networks = result.get(look.evidence) ?? new Map<string, Set<string>>();
      networks.set(name, (networks.get(name) ?? new Set()).add(endpoint.address));
      result.set(look.evidence, networks);
    }
  }
  return result;
}

/** Where the planned MAC answers, if that is neither the endpoint's own address nor one planned for another endpoint. */
function elsewhere(endpoint: Endpoint, view: View, defaults: ReadonlySet<string>): Situation['elsewhere'] {
  if (endpoint.mac === undefined) return undefined;
  const places = claimsIn(view).placesOf(endpoint.mac);
  const found = [...places].filter((address) => address !== endpoint.address).sort();
  const fallback = found.find((address) => defaults.has(address));
  if (fallback !== undefined) return { address: fallback, isDefault: true };
  const free = found.find((address) => indexOf(view.plan).at(address).length === 0) ?? found[0];
  return free === undefined ? undefined : { address: free, isDefault: false };
}

const NO_CLAIM: Claimed = { claimants: [], proxied: [], byDevice: false, together: false };
