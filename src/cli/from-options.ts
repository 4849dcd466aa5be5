/** `--from`: the same look from other places, over the system's own OpenSSH client. */
import { randomBytes } from 'node:crypto';
import { hostname } from 'node:os';
import type { Command } from 'commander';
import { MatchmarkError } from '../errors.js';
import type { LookElsewhere } from '../follow/elsewhere.js';
import type { PulseElsewhere } from '../follow/place-pulses.js';
import type { Plan } from '../plan/model.js';
import { DEFAULT_PACE } from '../run/pace.js';
import type { Credential } from '../run/probe-set.js';
import { realDeps } from '../run/real.js';
import type { CheckRequest } from '../run/run.js';
import { cleanText } from '../text/clean.js';
import type { CliDeps } from './common.js';
import { collect } from './scope-options.js';

export interface FromOptions {
  /** False: `--no-from`, nothing but the laptop. */
  readonly from?: readonly string[] | boolean;
  readonly onlyFrom?: boolean;
  readonly sendSecrets?: boolean;
  readonly quiet?: boolean;
}

export function withFromOptions(command: Command): Command {
  return command
    .option(
      '--from <place>',
      'look from there as well, by ssh://user@host[:port] or the name of a vantage of the plan; may be given several times (default: all vantages of the plan)',
      (value: string, before: readonly string[] | boolean | undefined) =>
        collect(value, Array.isArray(before) ? before : []),
    )
    .option('--no-from', 'leave the vantages of the plan out')
    .option('--only-from', 'the laptop itself does not look')
    .option(
      '--send-secrets',
      'SNMP secrets go along over SSH, so that agents are asked from there, too (default: they stay here)',
    );
}

export interface Elsewhere {
  /** The places, as `ssh://...`. */
  readonly from: readonly string[];
  readonly looks: Pick<CheckRequest, 'here'> & { readonly elsewhere?: LookElsewhere | undefined };
  /** For `follow`: asks all day from one of the places. */
  readonly pulse?: PulseElsewhere | undefined;
}

/** So many connections are held open beside the looks; further places tell by their looks. */
const PULSES_AT_ONCE = 16;

/** As the run that is gone on with had it, unless it is given anew. */
export function fromAsBefore(
  options: FromOptions,
  earlier:
    | { readonly from: readonly string[] | undefined; readonly onlyFrom: boolean | undefined }
    | undefined,
): FromOptions {
  if (earlier?.from === undefined || options.from !== undefined) return options;
  const onlyFrom = options.onlyFrom ?? earlier.onlyFrom;
  return {
    ...options,
    from: earlier.from.length === 0 ? false : earlier.from,
    ...(onlyFrom === undefined ? {} : { onlyFrom }),
  };
}

/** What a run needs to look from elsewhere; empty where nothing but the laptop looks. Throws MatchmarkError `usage`. */
export async function elsewhereOf(
  scope: Pick<CheckRequest, 'plan' | 'stage' | 'only' | 'vantageName' | 'pace'>,
  options: FromOptions,
  deps: CliDeps,
): Promise<Elsewhere> {
  const { plan, stage, only } = scope;
  const given = Array.isArray(options.from) ? (options.from as readonly string[]) : undefined;
  if (options.from === false || (given === undefined && plan.vantages.length === 0)) {
    if (options.onlyFrom === true) throw nowhere();
    return { from: [], looks: {} };
  }
  const [{ remotePlaces }, { lookFromElsewhere }, { pulseFrom }, { troubleText }, { programs }] =
    await Promise.all([
      import('../remote/place.js'),
      import('../remote/look-from.js'),
      import('../remote/pulse-from.js'),
      import('../remote/trouble.js'),
      import('../system/programs.js'),
    ]);
  const reading = remotePlaces(plan, given, scope.vantageName ?? hostname());
  if (!reading.ok) throw notAPlace(reading.expected, plan);
  const { places } = reading;
  const told = new Map<string, string | undefined>();
  const say = (text: string): void => {
    if (options.quiet !== true) deps.stderr.write(`${cleanText(text, 600)}\n`);
  };
  for (const { name, ssh } of places) say(`Looking from ${name} as well (${ssh}).`);
  const credentials = options.sendSecrets === true ? await secretsOf(plan, deps) : new Map();
  const here = options.onlyFrom !== true;
  const remote = { programs, now: deps.date, nonce: () => randomBytes(12).toString('hex') };
  const looks: Elsewhere['looks'] = {
    here,
    elsewhere: (signal, closer) =>
      lookFromElsewhere(
        {
          plan,
          stage,
          only: closer?.devices ?? only,
          places: closer === undefined ? places : places.filter(({ ssh }) => closer.from.includes(ssh)),
          credentials,
          beside: here,
          pace: scope.pace,
          // Looking again and again (follow) tells what has changed since.
          onDone: (name, trouble) => {
            if (signal.aborted || (told.has(name) && told.get(name) === trouble)) return;
            told.set(name, trouble);
            say(trouble === undefined ? `${name} is done.` : `note: ${name} did not do it: ${trouble}.`);
          },
        },
        remote,
        signal,
      ),
  };
  const noted = new Set<string>();
  const note = (name: string, why: string): void => {
    if (!noted.has(`${name}\n${why}`))
      say(`note: a change seen from ${name} shows after a look alone: ${why}.`);
    noted.add(`${name}\n${why}`);
  };
  const pulse: PulseElsewhere = async (from, targets, signal, onChange) => {
    const at = places.findIndex(({ ssh }) => ssh === from);
    const place = places[at];
    if (place === undefined) return;
    if (at >= PULSES_AT_ONCE) return note(place.name, `only ${PULSES_AT_ONCE} places are asked every second`);
    const trouble = await pulseFrom(
      {
        place,
        targets,
        framesPerSecond: (scope.pace ?? DEFAULT_PACE).runPerSecond,
        askers: Math.min(places.length, PULSES_AT_ONCE) + (here ? 1 : 0),
        onBegun: (asked) => {
          if (asked < targets.length)
            note(place.name, `its shell asks ${asked} of ${targets.length} addresses every second`);
        },
      },
      remote,
      signal,
      onChange,
    );
    if (!signal.aborted) note(place.name, troubleText(trouble));
  };
  return { from: places.map(({ ssh }) => ssh), looks, pulse };
}

/** A password typed into a place must not be shown, so what was given is not quoted. */
function notAPlace(expected: string, plan: Plan): MatchmarkError {
  const names = plan.vantages.map(({ name }) => cleanText(name, 60));
  return new MatchmarkError('usage', `--from takes ${expected}; nothing was probed`, {
    next:
      names.length === 0
        ? 'The plan names no vantages.'
        : `Or the name of a vantage of the plan: ${names.slice(0, 8).join(', ')}.`,
  });
}

function nowhere(): MatchmarkError {
  return new MatchmarkError('usage', '--only-from leaves the laptop out, and no other place is named', {
    next: 'Name one with --from ssh://user@host, or under "vantages:" in the plan.',
  });
}

async function secretsOf(plan: Plan, deps: CliDeps): Promise<ReadonlyMap<string, Credential>> {
  const { resolveCredential } = realDeps(deps).probes;
  const resolved = Object.values(plan.snmp).map(
    async (credential) => [credential.name, await resolveCredential(credential)] as const,
  );
  return new Map(await Promise.all(resolved));
}
