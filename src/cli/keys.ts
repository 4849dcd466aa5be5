/** The two keys of a command that goes on until it is told to stop. */
export type Key = 'quit' | 'interrupt';

const CTRL_C = '\u0003';

type Input = Pick<NodeJS.ReadStream, 'on' | 'off' | 'pause' | 'resume' | 'setEncoding'> &
  Partial<Pick<NodeJS.ReadStream, 'isTTY' | 'setRawMode'>>;

/** `q` on a terminal without Enter, on a pipe as a line; gives the function that stops listening. */
export function watchKeys(input: Input, onKey: (key: Key) => void): () => void {
  // In raw mode Ctrl-C is a character like any other.
  if (input.isTTY) input.setRawMode?.(true);
  const onData = (data: string | Buffer): void => {
    const text = String(data);
    if (text.includes(CTRL_C)) onKey('interrupt');
    else if (/^\s*q(uit)?\s*$/im.test(text)) onKey('quit');
  };
  input.setEncoding('utf8');
  input.on('data', onData);
  input.resume();
  return () => {
    input.off('data', onData);
    if (input.isTTY) input.setRawMode?.(false);
    input.pause();
  };
}
