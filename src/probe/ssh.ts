/** The SSH identification line (RFC 4253 §4.2): read it, send nothing, close. */
import type { Socket } from 'node:net';
import { cleanText } from '../text/clean.js';
import { errorCode, INTERRUPTED } from './refusal.js';
import { answered, notAsked, type ServiceAnswer, type ServiceProbe } from './service-probe.js';
import { dial } from './tcp-dial.js';

/** Lines may come before it; these limits are ours. The line itself is at most 255 characters (RFC 4253 §4.2). */
const OCTET_LIMIT = 8 * 1024;
const LINE_LIMIT = 20;
const IDENTIFICATION_LIMIT = 255;

export const proveSsh: ServiceProbe = async (target, patience, signal) => {
  const { address, service } = target;
  const dialled = await dial({ address, port: service.port }, patience, signal);
  if (dialled.outcome === 'not-run') return { proof: notAsked(service, dialled) };
  if (dialled.outcome === 'no-reply') {
    return { proof: answered(service, 'silent', 'no answer to the connection') };
  }
  if (dialled.outcome !== 'accepted') {
    return { proof: answered(service, dialled.outcome, dialled.detail, dialled.cause) };
  }
  const budgetMs = patience.timeoutMs * Math.max(1, patience.attempts);
  const greeting = await readGreeting(dialled.socket, budgetMs, signal);
  dialled.socket.destroy();
  if (signal.aborted) return { proof: notAsked(service, INTERRUPTED) };
  return judge(target, greeting);
};

function judge({ service }: Parameters<ServiceProbe>[0], greeting: Greeting): ServiceAnswer {
  const found = identification(greeting.text);
  if (found !== undefined) {
    const line = cleanText(found, IDENTIFICATION_LIMIT);
    return { proof: answered(service, 'proven', line), identity: { ssh: { line, port: service.port } } };
  }
  if (greeting.text !== '') {
    const said = cleanText(greeting.text, 80);
    return { proof: answered(service, 'other-protocol', `no SSH identification line, but: ${said}`) };
  }
  const detail = greeting.closed
    ? 'connected, then closed without a word'
    : 'connected, no identification line';
  return { proof: answered(service, 'silent', detail) };
}

/** The identification line in what a server sent, complete or cut at the limit. */
export function identification(text: string): string | undefined {
  const lines = text.split('\n', LINE_LIMIT + 1);
  const complete = lines.slice(0, -1).map((line) => line.replace(/\r$/, ''));
  const found = complete.slice(0, LINE_LIMIT).find((line) => line.startsWith('SSH-'));
  return found !== undefined && found.length <= IDENTIFICATION_LIMIT ? found : undefined;
}

interface Greeting {
  readonly text: string;
  readonly closed: boolean;
}

function readGreeting(socket: Socket, timeoutMs: number, signal: AbortSignal): Promise<Greeting> {
  return new Promise((resolve) => {
    let text = '';
    const finish = (closed: boolean) => {
      clearTimeout(timer);
      signal.removeEventListener('abort', onAbort);
      resolve({ text: text.slice(0, OCTET_LIMIT), closed });
    };
    const onAbort = () => finish(false);
    const timer = setTimeout(onAbort, timeoutMs);
    signal.addEventListener('abort', onAbort, { once: true });
    if (signal.aborted) onAbort();
    socket.setEncoding('latin1');
    socket.on('data', (chunk: string) => {
      text += chunk;
      const enough = text.length >= OCTET_LIMIT || text.split('\n', LINE_LIMIT + 2).length > LINE_LIMIT;
      if (enough || identification(text) !== undefined) finish(false);
    });
    socket.once('end', () => finish(true));
    socket.once('close', () => finish(true));
    socket.once('error', (error) => finish(errorCode(error) !== ''));
  });
}
