/** How many addresses: what an IPv6 network holds is more than anybody counts, and more than a number of JavaScript keeps. */

/** More than all of IPv4 has. */
const COUNTED = 2 ** 32;

/** For the result: none below zero, and cut at 2^53-1 (Number.MAX_SAFE_INTEGER). */
export function safeAmount(value: bigint): number {
  if (value < 0n) return 0;
  return value > BigInt(Number.MAX_SAFE_INTEGER) ? Number.MAX_SAFE_INTEGER : Number(value);
}

/** For people: `241`; what nobody counts is `billions`. */
export function amountWords(amount: number): string {
  return amount > COUNTED ? 'billions' : String(amount);
}
