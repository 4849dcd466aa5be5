/** net-snmp's own agent on loopback, with a system group and users of all three levels. */
import { createSocket } from 'node:dgram';
import {
  AuthProtocols,
  createAgent,
  MaxAccess,
  MibProviderType,
  ObjectType,
  PrivProtocols,
  SecurityLevel,
} from 'net-snmp';

export const ENGINE_ID = '8000b98380aabbccdd0102030405060708';

export interface LibraryAgent {
  readonly port: number;
  close(): Promise<void>;
}

export async function libraryAgent(values: Readonly<Record<string, string>>): Promise<LibraryAgent> {
  const port = await freeUdpPort();
  const agent = createAgent({ port, address: '127.0.0.1', engineID: ENGINE_ID }, () => {});
  const authorizer = agent.getAuthorizer();
  authorizer.addCommunity('loft-read');
  authorizer.addUser({ name: 'watcher', level: SecurityLevel.noAuthNoPriv });
  const auth = { authProtocol: AuthProtocols.sha256, authKey: 'maplesyrup' };
  authorizer.addUser({ name: 'reader', level: SecurityLevel.authNoPriv, ...auth });
  authorizer.addUser({
    name: 'keeper',
    level: SecurityLevel.authPriv,
    ...auth,
    privProtocol: PrivProtocols.aes,
    privKey: 'newsyrup1',
  });
  for (const [oid, value] of Object.entries(values)) {
    const name = `object-${oid}`;
    agent.registerProvider({
      name,
      type: MibProviderType.Scalar,
      oid,
      scalarType: ObjectType.OctetString,
      maxAccess: MaxAccess['read-only'],
    });
    agent.getMib().setScalarValue(name, value);
  }
  await new Promise((resolve) => setTimeout(resolve, 20));
  return {
    port,
    close: async () => {
      agent.close();
    },
  };
}

export async function freeUdpPort(): Promise<number> {
  const socket = createSocket('udp4');
  await new Promise<void>((resolve) => socket.bind(0, '127.0.0.1', resolve));
  const { port } = socket.address();
  await new Promise<void>((resolve) => socket.close(() => resolve()));
  return port;
}
