/** Which network holds an address. The one place that decides it. */
import { type Block, blockOf, familyOf, toNumber } from './address.js';
import type { Network } from './model.js';

/** The network with the longest prefix that contains a canonical address (RFC 4632 §5.1); the first of several alike. */
export function networkFinder(networks: readonly Network[]): (address: string) => Network | undefined {
  const narrowestFirst = networks
    .flatMap((network): { network: Network; block: Block }[] =>
      network.cidr === undefined ? [] : [{ network, block: blockOf(network.cidr) }],
    )
    .sort((a, b) => b.block.prefixBits - a.block.prefixBits);
  return (address) => {
    const family = familyOf(address);
    const value = toNumber(address);
    return narrowestFirst.find(
      ({ block }) => block.family === family && block.first <= value && value <= block.last,
    )?.network;
  };
}
