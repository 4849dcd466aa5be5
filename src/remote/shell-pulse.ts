/**
 * The pulse of a place that has a shell alone: one ping for each address, read there, so that a change is one line and nothing else is sent.
 * All of it ends with the input of the shell, that is with the connection. Pure.
 */
import type { PulseTarget } from '../pulse/pulse.js';
import { quoted } from './shell-programs.js';

/** Each costs two processes of a host that is not ours. */
export const MOST_SHELL_TARGETS = 64;

/** Seconds between two echoes. iputils lets a user who is not root ask five times a second at most (ping(8), -i). */
const EVERY = '0.3';
/** Echoes in a row without a reply, until the address counts as gone: with a twentieth lost each way five go astray once in 100,000. */
const MISSED = 5;

/**
 * `-O` of iputils tells of each echo that nobody answered before the next is sent. Who never answered is not told as gone: it may be there
 * and answer no echo. A ping without `-O` or without fractions (BusyBox) is started again and again. Where a ping ends at once (no route,
 * not permitted) it rests a second. What reads a ping looks with each line whether its shell ($$) is still there, and ends with it; the ping
 * ends with the next line that it cannot write.
 */
export function pulseScript(nonce: string, targets: readonly PulseTarget[]): string {
  const addresses = targets
    .slice(0, MOST_SHELL_TARGETS)
    .map(({ address, interface: port }) => quoted(/^fe80:/i.test(address) ? `${address}%${port}` : address));
  return `n=${nonce}
t() { printf '%s {"kind":"pulse","address":"%s","alive":%s}\\n' "$n" "\${1%%%*}" "$2"; }
w() { s=; f=0; while IFS= read -r l && kill -0 $$ 2>/dev/null; do case "$l" in
*" bytes from "*) f=0; [ "$s" = 1 ] || { s=1; t "$1" true; };;
*"no answer yet"*|*nreachable*|silent) f=$((f+1)); [ "$f" -ge "$2" ] && [ "$s" = 1 ] && { s=0; t "$1" false; };;
esac; done; }
a() { while :; do ping -n -O -i ${EVERY} -c 1000 "$1" 2>&1 </dev/null; echo silent || exit; sleep 1; done; }
b() { while :; do ping -c 2 -W 1 "$1" 2>&1 </dev/null || { echo silent || exit; sleep 1; }; done; }
o=b; x=1; if ping -n -O -i ${EVERY} -c 1 127.0.0.1 >/dev/null 2>&1 </dev/null; then o=a; x=${MISSED}; fi
for i in ${addresses.join(' ')}; do command -v ping >/dev/null 2>&1 || break; $o "$i" | w "$i" "$x" & done
while kill -0 $$ 2>/dev/null; do printf '%s {"kind":"alive"}\\n' "$n" || exit; sleep 2; done &
while IFS= read -r l; do :; done
exit 0
`;
}
