import dgram from 'node:dgram';
import { createAgent } from 'net-snmp';
import { COMMUNITY } from './layout.js';
import type { Listening, Place } from './listening.js';
import { type AgentMib, type DemoAgentFacts, fillMib } from './snmp-mib.js';

/** The part of net-snmp's Agent that is used here; its types leave it open. */
interface Agent {
  getMib(): AgentMib;
  getAuthorizer(): { addCommunity(community: string): void };
}

/** net-snmp's own agent, SNMP version 2c, on one address. Resolves once the port is taken. */
export function serveSnmp({ address, port }: Place, facts: DemoAgentFacts): Promise<Listening> {
  return new Promise((resolve, reject) => {
    let socket: dgram.Socket | undefined;
    // The agent does not say when its socket is bound or why it cannot be; the socket does.
    const dgramModule = {
      createSocket: (type: dgram.SocketType) => {
        const created = dgram.createSocket({ type });
        socket = created;
        created.once('error', reject);
        created.once('listening', () =>
          resolve({ stop: () => new Promise((stopped) => created.close(() => stopped())) }),
        );
        return created;
      },
    };
    try {
      const agent = createAgent({ address, port, dgramModule }, () => {}) as Agent;
      agent.getAuthorizer().addCommunity(COMMUNITY);
      fillMib(agent.getMib(), facts);
    } catch (error) {
      socket?.close();
      reject(error instanceof Error ? error : new Error(String(error)));
    }
  });
}
