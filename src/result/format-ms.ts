/** `0.4 ms`, `12 ms`, `under 0.1 ms`. */
export function formatMs(milliseconds: number): string {
  if (milliseconds < 0.05) return 'under 0.1 ms';
  return `${milliseconds < 10 ? Math.round(milliseconds * 10) / 10 : Math.round(milliseconds)} ms`;
}
