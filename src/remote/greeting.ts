/**
 * What is sent to the shell of another place first, and what it says back: whether Node is there. Only once it has answered is more
 * sent, since a shell may read ahead what was meant for the program that it starts. Where the login has another shell (cmd.exe and
 * PowerShell of OpenSSH for Windows), Node is started by its name. Pure.
 */

/** The least Node that the agent runs on: less than the program itself wants (package.json), since it writes for no terminal. */
export const LEAST_NODE = 20;

/**
 * Runs in Node there. Reads one line, the agent packed by Brotli in base64, starts it in memory and hands it all that follows. Ends with
 * its input, that is with the connection. No single quote may stand in it.
 */
const LOADER = [
  'const nonce=process.argv[1],input=process.stdin;let text="",feed;',
  'input.setEncoding("utf8");',
  'input.on("data",part=>{if(feed)return feed(part);text+=part;const end=part.indexOf("\\n");if(end<0)return;',
  'const at=text.length-part.length+end,code=require("node:zlib").brotliDecompressSync(Buffer.from(text.slice(0,at),"base64")).toString(),',
  'own={exports:{}};',
  'require("node:vm").runInThisContext("(function(require,module,exports){"+code+"\\n})",{filename:"matchmark-agent"})(require,own,own.exports);',
  'feed=own.exports.begin(nonce);feed(text.slice(at+1));text=""});',
  'input.on("end",()=>process.exit(0));input.on("error",()=>process.exit(0));process.stdout.on("error",()=>process.exit(0));',
  'process.stdout.write(nonce+" node "+process.versions.node+"\\n");',
].join('');

/** `nonce`: letters and digits that nobody could have printed by chance. */
export function greeting(nonce: string): string {
  return `LC_ALL=C; export LC_ALL; n=${nonce}; v=
if command -v node >/dev/null 2>&1; then v=$(node -p process.versions.node 2>/dev/null </dev/null); fi
case "\${v%%.*}" in ''|*[!0-9]*) v=0;; esac
if [ "\${v%%.*}" -ge ${LEAST_NODE} ]; then exec node -e '${LOADER}' "$n"; fi
printf '%s shell %s\\n' "$n" "$v"
`;
}

/**
 * The same loader as one command line that sh, cmd.exe and PowerShell read alike: between double quotes all of them leave letters, digits,
 * brackets, commas, single quotes and `+/=` as they are (cmd.exe and PowerShell from memory; cmd.exe takes lines of 8,191 characters).
 */
export function nodeCommand(nonce: string): string {
  const code = Buffer.from(LOADER).toString('base64');
  return `node -e "eval(Buffer.from('${code}','base64').toString())" ${nonce}`;
}

export type Greeted =
  | { readonly kind: 'node'; readonly version: string }
  /** `version`: of a Node that is too old; absent where there is none. */
  | { readonly kind: 'shell'; readonly version?: string | undefined };

/** Undefined for a line that is no answer: what a login prints before. */
export function readGreeting(line: string, nonce: string): Greeted | undefined {
  const [, kind, version = ''] =
    new RegExp(`^${nonce} (node|shell) (\\d[\\d.]{0,20})$`).exec(line.trim()) ?? [];
  if (kind === 'node') return { kind, version };
  if (kind === 'shell') return { kind, ...(version === '0' ? {} : { version }) };
  return undefined;
}
