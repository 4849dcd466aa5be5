import { type Finding, finding } from '../findings/index.js';
import { isVirtualRouterMac } from '../plan/mac.js';
import {
  type Addressed,
  citing,
  deviceAndController,
  groupBy,
  isVirtual,
  type PlanView,
} from './plan-view.js';

/** One address in several rows, unless it is one that moves. */
export function addressDuplicates(view: PlanView): Finding[] {
  const findings: Finding[] = [];
  for (const [address, holders] of groupBy(view.addressed, (endpoint) => endpoint.address)) {
    const kind = holders.length < 2 ? undefined : kindOf(holders);
    if (kind === undefined) continue;
    findings.push(
      finding(
        'address-duplicate',
        address,
        { address, endpoints: holders.map((endpoint) => endpoint.id), kind },
        { ...citing(holders), ...(kind === 'same-port' ? { severity: 'fix' as const } : {}) },
      ),
    );
  }
  return findings;
}

function kindOf(holders: readonly Addressed[]): 'clash' | 'same-port' | 'virtual-and-fixed' | undefined {
  const fixed = holders.filter((endpoint) => !isVirtual(endpoint));
  const moving = holders.filter(isVirtual);
  if (fixed.length === 0) return undefined;
  if (fixed.length === 1) {
    // RFC 9568 (address owner): a VRRP router may have the virtual address on its own interface.
    const vrrp = moving.every((e) => e.mac !== undefined && isVirtualRouterMac(e.mac));
    return vrrp ? undefined : 'virtual-and-fixed';
  }
  const [first] = fixed;
  const onePort =
    first?.mac !== undefined &&
    fixed.every((e) => e.mac === first.mac && deviceAndController(e) === deviceAndController(first));
  return onePort && moving.length === 0 ? 'same-port' : 'clash';
}
