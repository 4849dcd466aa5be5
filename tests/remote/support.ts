/** A place to look from, without SSH: what it prints, and what it was sent. */
import type { ProgramStream, Programs } from '../../src/system/program-types.js';

export interface FakePlace {
  readonly programs: Programs;
  readonly sent: () => string;
  readonly args: () => readonly string[];
  readonly stopped: () => boolean;
}

/** `answer`: called with all that was sent so far, after each write; gives what is printed now, or undefined to end. `unasked`: printed at once. */
export function fakePlace(
  answer: (sent: string) => string | undefined,
  end: { exitCode?: number; stderr?: string; unasked?: string } = {},
): FakePlace {
  let sent = '';
  let args: readonly string[] = [];
  let stopped = false;
  const waiting: string[] = [];
  let over = false;
  let wake: () => void = () => {};
  const push = (text: string | undefined): void => {
    if (text === undefined) over = true;
    else if (text !== '') waiting.push(text);
    wake();
  };
  async function* stdout(): AsyncGenerator<Uint8Array> {
    for (;;) {
      const next = waiting.shift();
      if (next !== undefined) yield new TextEncoder().encode(next);
      else if (over) return;
      else
        await new Promise<void>((resolve) => {
          wake = resolve;
        });
    }
  }
  const stream: ProgramStream = {
    stdout: stdout(),
    stderr: () => end.stderr ?? '',
    ended: Promise.resolve(end.exitCode ?? 0),
    write: (text) => {
      sent += text;
      push(answer(sent));
    },
    stop: () => {
      stopped = true;
      push(undefined);
    },
  };
  return {
    programs: {
      run: async () => ({ ran: false, why: 'not-found', detail: '' }),
      start: (command, given) => {
        args = [command, ...given];
        push(end.unasked ?? '');
        return stream;
      },
    },
    sent: () => sent,
    args: () => args,
    stopped: () => stopped,
  };
}
