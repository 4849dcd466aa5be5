/** What the person at the rack, or a script, can say during a drill: one word a line. */
export type Command = 'next' | 'skip' | 'repeat' | 'abort';

const WORDS: ReadonlyMap<string, Command> = new Map([
  ['', 'next'],
  ['n', 'next'],
  ['next', 'next'],
  ['s', 'skip'],
  ['skip', 'skip'],
  ['r', 'repeat'],
  ['repeat', 'repeat'],
  ['a', 'abort'],
  ['abort', 'abort'],
]);

export const COMMAND_HELP = 'Enter = done here, s = skip, r = repeat, a = abort';

export interface Commands {
  /** A command that is waiting, taken from the queue. */
  take(): Command | undefined;
  /** No more can come: the pipe ended. */
  ended(): boolean;
}

export interface CommandQueue extends Commands {
  line(text: string): 'taken' | 'unknown';
  end(): void;
}

export function commandQueue(): CommandQueue {
  const waiting: Command[] = [];
  let over = false;
  return {
    take: () => waiting.shift(),
    ended: () => over && waiting.length === 0,
    line(text) {
      const command = WORDS.get(text.trim().toLowerCase());
      if (command === undefined) return 'unknown';
      waiting.push(command);
      return 'taken';
    },
    end() {
      over = true;
    },
  };
}
