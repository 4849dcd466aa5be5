/** The command library's help and errors in our form. Pure. */

/** `error: unknown command 'chek'\n(Did you mean check?)` as our errors look: what is wrong, then what to do, indented. */
export function errorText(text: string): string {
  return text
    .replace(/^error: /, 'matchmark: ')
    .replace(
      /command-argument value '(.*)' is invalid for argument '(.*)'\. Allowed choices are (.*)\./,
      "$2 cannot be '$1'\n  It can be: $3.",
    )
    .replace(
      /too many arguments for '(.*)'\. Expected (\d+) arguments? but got (\d+)\./,
      (_, name, wanted, given) =>
        `too many arguments: ${name} takes ${wanted === '0' ? 'none' : wanted}, and got ${given}`,
    )
    .replace(/\(Did you mean (?:one of )?(.*)\?\)/g, '  Did you mean $1?');
}

/** Columns, then at least two blanks, then what they mean: a line of the examples. */
const EXAMPLE = /^( {2}\S.*?) {2,}(\S.*)$/;

/** A command line stays whole, so that it can be copied. */
const COMMAND = /^ {2}(?:matchmark|sudo|printf) /;

/** On a narrow terminal the meaning of an example goes below it, and long lines are broken at blanks. */
export function fitHelp(text: string, width: number): string {
  return text
    .split('\n')
    .flatMap((line) => (line.length <= width ? [line] : fitLine(line, width)))
    .join('\n');
}

function fitLine(line: string, width: number): string[] {
  const example = EXAMPLE.exec(line);
  if (example?.[1] !== undefined && example[2] !== undefined)
    return [example[1], ...broken(`      ${example[2]}`, width)];
  if (COMMAND.test(line)) return [line];
  // What an example means stands far to the right where its command was long.
  return broken(line.replace(/^ {12,}/, '      '), width);
}

/** Breaks at blanks; a word longer than the width stays whole, so that it can be copied. */
function broken(line: string, width: number): string[] {
  const indent = /^ */.exec(line)?.[0] ?? '';
  const lines: string[] = [];
  let current = '';
  for (const word of line.trim().split(' ')) {
    const lead = current === '' ? indent : `${current} `;
    if (current !== '' && lead.length + word.length > width) {
      lines.push(current);
      current = `${indent}${word}`;
    } else current = `${lead}${word}`;
  }
  return [...lines, current];
}
