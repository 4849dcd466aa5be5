// A small iSCSI target that lists what its argument says at each of its portals: for answers that tgt, which lists only the portal
// that was asked, does not give. After the tables of RFC 7143 §11, with no code of ours. Argument: JSON { listen, name, portals }.
import { createServer } from 'node:net';

const { listen, name, portals } = JSON.parse(process.argv[2] ?? '{}');
const LIST = `TargetName=${name}\0${portals.map((portal) => `TargetAddress=${portal}\0`).join('')}`;
const SECURITY = 'TargetPortalGroupTag=1\0AuthMethod=None\0';
const OPERATIONAL = 'HeaderDigest=None\0DataDigest=None\0';

/** Response header of §11.13, §11.11, §11.15: opcode, flags, TSIH, task tag, target transfer tag, StatSN. */
function pdu(opcode, flags, taskTag, text, more = {}) {
  const data = Buffer.from(text);
  const bytes = Buffer.alloc(48 + Math.ceil(data.length / 4) * 4);
  bytes.writeUInt8(opcode, 0);
  bytes.writeUInt8(flags, 1);
  bytes.writeUIntBE(data.length, 5, 3);
  bytes.writeUInt16BE(more.handle ?? 0, 14);
  bytes.writeUInt32BE(taskTag, 16);
  bytes.writeUInt32BE(more.transferTag ?? 0, 20);
  bytes.writeUInt32BE(1, 24);
  data.copy(bytes, 48);
  return bytes;
}

function answer(socket, header) {
  const flags = header.readUInt8(1);
  const taskTag = header.readUInt32BE(16);
  switch (header.readUInt8(0) & 0x3f) {
    case 0x03: {
      const security = (flags & 0x0c) === 0;
      socket.write(pdu(0x23, flags & 0x8f, taskTag, security ? SECURITY : OPERATIONAL, { handle: 1 }));
      break;
    }
    case 0x04:
      socket.write(pdu(0x24, 0x80, taskTag, LIST, { transferTag: 0xffffffff }));
      break;
    default:
      socket.end(pdu(0x26, 0x80, taskTag, ''));
  }
}

function converse(socket) {
  let waiting = Buffer.alloc(0);
  socket.on('error', () => {});
  socket.on('data', (chunk) => {
    waiting = Buffer.concat([waiting, chunk]);
    while (waiting.length >= 48) {
      const size = 48 + Math.ceil(waiting.readUIntBE(5, 3) / 4) * 4;
      if (waiting.length < size) return;
      answer(socket, waiting.subarray(0, 48));
      waiting = waiting.subarray(size);
    }
  });
}

await Promise.all(
  listen.map((address) => new Promise((resolve) => createServer(converse).listen(3260, address, resolve))),
);
console.log('ready');
