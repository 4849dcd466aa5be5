import type { Finding } from '../findings/index.js';
import { orderFindings } from '../findings/order.js';
import type { NetworkCapacity } from '../matrix/matrix.js';
import type { Plan } from '../plan/model.js';
import { addressDuplicates } from './address-duplicate.js';
import { addressPlacement } from './address-placement.js';
import { addressesReserved } from './address-reserved.js';
import { capacityOf, notEnoughAddresses } from './capacity.js';
import { defaultAddressFindings } from './default-addresses.js';
import { feedsUnequal } from './feeds-unequal.js';
import { controllersWithoutGroup } from './groups-planned.js';
import { macFindings } from './macs.js';
import { managementApart } from './management-apart.js';
import { maskMismatches } from './mask-mismatch.js';
import { mtuMismatches } from './mtus.js';
import { networkFindings } from './networks.js';
import { nothingToCheck } from './nothing-to-check.js';
import { type PlanView, viewOf } from './plan-view.js';
import { rackFindings } from './racks.js';
import { literalSecrets } from './secrets.js';
import { switchPortDuplicates } from './switch-ports.js';
import { wwpnDuplicates } from './wwpns.js';

export interface Review {
  readonly findings: Finding[];
  readonly capacity: NetworkCapacity[];
}

const RULES: readonly ((view: PlanView) => Finding[])[] = [
  addressDuplicates,
  addressPlacement,
  addressesReserved,
  networkFindings,
  notEnoughAddresses,
  maskMismatches,
  macFindings,
  wwpnDuplicates,
  defaultAddressFindings,
  managementApart,
  mtuMismatches,
  nothingToCheck,
  rackFindings,
  feedsUnequal,
  controllersWithoutGroup,
  switchPortDuplicates,
  literalSecrets,
];

/** Everything that can be known wrong from the plan alone, redundancy apart (src/redundancy has its own review). */
export function reviewPlan(plan: Plan): Review {
  const view = viewOf(plan);
  return { findings: orderFindings(RULES.flatMap((rule) => rule(view))), capacity: capacityOf(view) };
}
