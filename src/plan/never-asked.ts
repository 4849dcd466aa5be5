/** Addresses that no question may go to, since all of a network would get it: multicast, broadcast, and none at all. Pure. */
import { familyOf, specialInBlock } from './address.js';
import type { Plan } from './model.js';
import { indexOf } from './plan-index.js';

export interface NeverAsked {
  readonly address: string;
  /** Whose it is in the plan. */
  readonly what: string;
  readonly why: string;
}

/** RFC 5771 §3 (multicast), RFC 1112 §4 (240/4), RFC 919 §7 (broadcast), RFC 4291 §2.5.2 and §2.7. */
function groupAddress(address: string): string | undefined {
  if (familyOf(address) === 6) {
    if (address === '::') return 'which is no address';
    return /^ff/i.test(address) ? 'a multicast address' : undefined;
  }
  const first = Number(address.split('.')[0]);
  if (address === '0.0.0.0') return 'which is no address';
  if (address === '255.255.255.255') return 'the broadcast address';
  if (first >= 240) return 'a reserved address';
  return first >= 224 ? 'a multicast address' : undefined;
}

export function neverAsked(plan: Plan): NeverAsked[] {
  const blocks = plan.networks.flatMap(({ name, cidr }) => (cidr === undefined ? [] : [{ name, cidr }]));
  const planned = [
    ...plan.endpoints.flatMap(({ id, address, prefixBits }) =>
      address === undefined ? [] : [{ what: id, address, prefixBits }],
    ),
    ...indexOf(plan).defaults.map(({ address, device, endpoint }) => ({
      what: endpoint?.id ?? device,
      address,
      prefixBits: undefined,
    })),
    ...plan.networks.flatMap(({ name, gateway }) =>
      gateway === undefined
        ? []
        : [{ what: `the gateway of ${name}`, address: gateway, prefixBits: undefined }],
    ),
  ];
  return planned.flatMap(({ what, address, prefixBits }) => {
    const group = groupAddress(address);
    if (group !== undefined) return [{ address, what, why: group }];
    const own =
      prefixBits === undefined
        ? []
        : [{ name: `its own prefix /${prefixBits}`, cidr: `${address}/${prefixBits}` }];
    const block = [...blocks, ...own].find(({ cidr }) => specialInBlock(cidr, address) === 'broadcast');
    return block === undefined ? [] : [{ address, what, why: `the broadcast address of ${block.name}` }];
  });
}
