/** Neighbour questions without a datagram behind each: one `ip` that is told by lines what to ask (ip-neighbour(8), ip(8): -batch). */
import type { Programs } from '../program-types.js';
import type { NeighbourAsker } from '../types.js';

/**
 * `nud failed` makes the kernel give up what it has of the address, `use` makes it look for the neighbour as if something were to be sent
 * (NTF_USE of rtnetlink: net/core/neighbour.c, neigh_add). It ends at the first line that it does not understand or that the kernel refuses
 * (an `ip` without `-batch`, a full table). Undefined where it could not be started.
 */
export function neighbourAsker(programs: Programs): NeighbourAsker | undefined {
  const ip = programs.start('ip', ['-batch', '-'], { input: true });
  if (!('write' in ip) || ip.write === undefined) return undefined;
  const { write } = ip;
  let able = true;
  const over = ip.ended.then(() => {
    able = false;
  });
  return {
    ask: (port, addresses) => {
      if (!able) return false;
      const lines = addresses.flatMap((address) => [
        givenUp(port, address),
        `neigh replace ${address} dev ${port} nud none use`,
      ]);
      write(`${lines.join('\n')}\n`);
      return true;
    },
    giveUp: (port, address) => {
      if (able) write(`${givenUp(port, address)}\n`);
    },
    over,
    close: () => {
      able = false;
      ip.stop();
    },
  };
}

function givenUp(port: string, address: string): string {
  return `neigh replace ${address} dev ${port} nud failed`;
}
