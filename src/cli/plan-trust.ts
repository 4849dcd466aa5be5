/** What a plan, which others may have made, would have this laptop read and send: said before anything is sent, and asked for. */
import { realpath } from 'node:fs/promises';
import path from 'node:path';
import type { Command } from 'commander';
import { MatchmarkError } from '../errors.js';
import type { Plan } from '../plan/model.js';
import { neverAsked } from '../plan/never-asked.js';
import type { SecretRef } from '../plan/secret.js';
import { cleanText } from '../text/clean.js';
import { list } from '../text/sentence.js';
import type { CliDeps } from './common.js';
import { collect } from './scope-options.js';

export interface TrustOptions {
  readonly allowSecretsFrom?: readonly string[];
  readonly quiet?: boolean;
}

/** A secret that does not stand in the plan, and where it would be read. */
export interface SecretSource {
  readonly credential: string;
  readonly key: string;
  readonly kind: 'env' | 'file';
  /** Name of the variable, or path. */
  readonly where: string;
  /** The file lies outside the plan's folder, links followed. */
  readonly outside: boolean;
}

export function withTrustOption(command: Command): Command {
  return command.option(
    '--allow-secrets-from <dir>',
    "folder outside the plan's own that its secrets may be read from; may be given several times",
    collect,
  );
}

export async function secretSources(plan: Plan, planFile: string): Promise<SecretSource[]> {
  const folder = await real(path.dirname(planFile));
  const keys = ['community', 'authKey', 'privKey'] as const;
  const found: SecretSource[] = [];
  for (const credential of Object.values(plan.snmp))
    for (const key of keys) {
      const source = await sourceOf(credential[key], folder);
      if (source !== undefined) found.push({ credential: credential.name, key, ...source });
    }
  return found;
}

async function sourceOf(
  ref: SecretRef | undefined,
  folder: string,
): Promise<Omit<SecretSource, 'credential' | 'key'> | undefined> {
  if (ref === undefined || ref.kind === 'literal') return undefined;
  if (ref.kind === 'env') return { kind: 'env', where: ref.name, outside: false };
  return { kind: 'file', where: ref.path, outside: !isBelow(await real(ref.path), folder) };
}

/** One line for each: every variable, and every file outside the plan's folder. */
export function sourceLines(sources: readonly SecretSource[]): string[] {
  return sources
    .filter(({ kind, outside }) => kind === 'env' || outside)
    .map(({ credential, key, kind, where }) =>
      cleanText(
        kind === 'env'
          ? `the plan reads the environment variable ${where} as ${key} of ${credential}`
          : `the plan reads the file ${where}, outside its folder, as ${key} of ${credential}`,
        600,
      ),
    );
}

/** Before anything is sent. Throws MatchmarkError: nothing was probed. */
export async function requireTrust(
  plan: Plan,
  planFile: string,
  options: TrustOptions,
  deps: Pick<CliDeps, 'cwd' | 'stderr'>,
): Promise<void> {
  const refused = neverAsked(plan);
  if (refused.length > 0)
    throw new MatchmarkError(
      'plan-invalid',
      `${list(refused.map(({ address, what, why }) => `${cleanText(what, 120)} has ${address}, ${why}`))}; nothing was probed`,
      { next: 'Give each device an address of its own and run it again.' },
    );
  const sources = await secretSources(plan, planFile);
  if (options.quiet !== true) for (const line of sourceLines(sources)) deps.stderr.write(`note: ${line}\n`);
  const allowed = await Promise.all(
    (options.allowSecretsFrom ?? []).map((folder) => real(path.resolve(deps.cwd, folder))),
  );
  const outside: string[] = [];
  for (const { outside: isOutside, where } of sources) {
    if (!isOutside) continue;
    const place = await real(where);
    if (!allowed.some((folder) => isBelow(place, folder))) outside.push(cleanText(where, 300));
  }
  if (outside.length === 0) return;
  throw new MatchmarkError(
    'usage',
    `the plan would read ${list([...new Set(outside)])} outside its own folder and send what stands there over the network; nothing was probed`,
    {
      next: 'Where you know that this is the secret it should use, allow its folder with --allow-secrets-from DIR.',
    },
  );
}

/** Links followed as far as the place is there. */
async function real(place: string): Promise<string> {
  try {
    return await realpath(place);
  } catch {
    const above = path.dirname(place);
    return above === place ? place : path.join(await real(above), path.basename(place));
  }
}

function isBelow(place: string, folder: string): boolean {
  const relative = path.relative(folder, place);
  return relative !== '' && relative.split(path.sep)[0] !== '..' && !path.isAbsolute(relative);
}
