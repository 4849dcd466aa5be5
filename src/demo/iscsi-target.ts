/** An iSCSI target as far as a discovery session (RFC 7143 §4.3): login without authentication, SendTargets, logout. */
import net, { type Socket } from 'node:net';
import { concat } from '../wire/bytes.js';
import { encodeKeys, type KeyValue } from '../wire/iscsi/keys.js';
import { encodePdu, FINAL, OPCODE, type Pdu, takePdu, taskTag } from '../wire/iscsi/pdu.js';
import { type Listening, listen, type Place } from './listening.js';

export interface DemoTarget {
  readonly name: string;
  /** `address:port,tag` of every portal, as TargetAddress says it (RFC 7143 §13.8). */
  readonly portals: readonly string[];
}

export function serveIscsi(place: Place, target: DemoTarget): Promise<Listening> {
  return listen(
    net.createServer((socket) => {
      converse(socket, target);
    }),
    place,
  );
}

function converse(socket: Socket, target: DemoTarget): void {
  let waiting: Uint8Array = new Uint8Array(0);
  let status = 0;
  socket.on('data', (chunk: Buffer) => {
    waiting = concat([waiting, chunk]);
    for (;;) {
      const taken = takePdu(waiting);
      if (!taken.ok) return socket.destroy();
      if (taken.value === undefined) return;
      waiting = waiting.subarray(taken.value.size);
      status += 1;
      const answer = answerTo(taken.value.pdu, target, status);
      if (answer === undefined) return socket.destroy();
      socket.write(answer);
    }
  });
}

/** Undefined for anything that does not belong to a discovery session. */
function answerTo(pdu: Pdu, target: DemoTarget, status: number): Uint8Array | undefined {
  // In a response StatSN stands where a request has CmdSN, and ExpCmdSN where it has ExpStatSN (RFC 7143 §11.13).
  const head = { taskTag: taskTag(pdu), commandNumber: status, expectedStatus: 1 };
  switch (pdu.opcode) {
    case OPCODE.loginRequest: {
      const operational = (pdu.flags & 0x0c) >> 2 === 1;
      const isid = pdu.header.slice(8, 14);
      // A non-zero TSIH with the last response of the login (§11.13.3).
      const handle = operational ? [0, 1] : [0, 0];
      const pairs: KeyValue[] = operational
        ? [
            ['HeaderDigest', 'None'],
            ['DataDigest', 'None'],
          ]
        : [
            ['TargetPortalGroupTag', '1'],
            ['AuthMethod', 'None'],
          ];
      return encodePdu(
        {
          ...head,
          opcode: OPCODE.loginResponse,
          flags: pdu.flags & ~0x40,
          octets8to15: concat([isid, new Uint8Array(handle)]),
        },
        encodeKeys(pairs),
      );
    }
    case OPCODE.textRequest: {
      const pairs: KeyValue[] = [
        ['TargetName', target.name],
        ...target.portals.map((portal): KeyValue => ['TargetAddress', portal]),
      ];
      return encodePdu(
        { ...head, opcode: OPCODE.textResponse, flags: FINAL, word20: 0xffffffff },
        encodeKeys(pairs),
      );
    }
    case OPCODE.logoutRequest:
      return encodePdu({ ...head, opcode: OPCODE.logoutResponse, flags: FINAL });
    default:
      return undefined;
  }
}
