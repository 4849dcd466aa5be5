/** The SSH identification line (RFC 4253 §4.2): read it, send nothing, close. */
import type { PlannedService } from '../plan/model.js';
import { cleanText } from '../text/clean.js';
import type { ByteQueue } from '../wire/byte-queue.js';
import { talkLimits } from './bound.js';
import { converse, WORDLESS, wordless } from './exchange.js';
import { overConnection } from './over-connection.js';
import { INTERRUPTED } from './refusal.js';
import { answered, notAsked, type ServiceAnswer, type ServiceProbe } from './service-probe.js';

/** Lines may come before it; these limits are ours. The line itself is at most 255 characters (RFC 4253 §4.2). */
const OCTET_LIMIT = 8 * 1024;
const LINE_LIMIT = 20;
const IDENTIFICATION_LIMIT = 255;

/** Nothing within one patience is silence; a banner may go on for one more. */
export const proveSsh: ServiceProbe = (target, patience, signal) => {
  const { service } = target;
  return overConnection(target, patience, signal, (socket) =>
    converse<ServiceAnswer>(
      socket,
      {
        onBytes: (queue) => {
          const text = textOf(queue);
          const enough = text.length >= OCTET_LIMIT || text.split('\n', LINE_LIMIT + 2).length > LINE_LIMIT;
          return enough || identification(text) !== undefined ? judge(service, text) : undefined;
        },
        onEnd: (ending, queue) => {
          if (ending === 'interrupted') return { proof: notAsked(service, INTERRUPTED) };
          if (queue.length > 0) return judge(service, textOf(queue));
          const detail = ending === 'timeout' ? 'connected, no identification line' : wordless(ending);
          return { proof: answered(service, 'silent', detail, WORDLESS[ending]) };
        },
      },
      talkLimits(patience),
      signal,
    ),
  );
};

function judge(service: PlannedService, text: string): ServiceAnswer {
  const found = identification(text);
  if (found !== undefined) {
    const line = cleanText(found, IDENTIFICATION_LIMIT);
    return { proof: answered(service, 'proven', line), identity: { ssh: { line, port: service.port } } };
  }
  const said = `no SSH identification line, but: ${cleanText(text, 80)}`;
  return { proof: answered(service, 'other-protocol', said, 'other-protocol') };
}

function textOf(queue: ByteQueue): string {
  return Buffer.from(queue.peek().subarray(0, OCTET_LIMIT)).toString('latin1');
}

/** The identification line in what a server sent, complete or cut at the limit. */
export function identification(text: string): string | undefined {
  const lines = text.split('\n', LINE_LIMIT + 1);
  const complete = lines.slice(0, -1).map((line) => line.replace(/\r$/, ''));
  const found = complete.slice(0, LINE_LIMIT).find((line) => line.startsWith('SSH-'));
  return found !== undefined && found.length <= IDENTIFICATION_LIMIT ? found : undefined;
}
