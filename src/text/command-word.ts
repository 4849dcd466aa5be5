/**
 * A word of a command that people paste. sh, cmd and PowerShell have no common way to quote these characters, so a text that holds
 * one is not written into the command at all: `$(...)` in the name of a device would run where it is pasted.
 */
const ACTS_IN_QUOTES = /["$`\\%!\u201c-\u201f]|\p{Cc}/u;

/** In double quotes; `placeholder` where the text cannot stand there. */
export function commandText(text: string, placeholder: string): string {
  return ACTS_IN_QUOTES.test(text) ? placeholder : `"${text}"`;
}

/** Bare where that does no harm, else as commandText. */
export function commandWord(text: string, placeholder: string): string {
  return /^[\w.@+:/][\w.@+=:,/-]*$/.test(text) ? text : commandText(text, placeholder);
}
