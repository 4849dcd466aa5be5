import { performance } from 'node:perf_hooks';
import { type KeptCapture, openCapture } from '../presence/capture.js';
import type { Abilities, VantageInterface } from '../sighting/types.js';
import type { CaptureProgram } from '../system/types.js';
import { bestPort } from '../vantage/best-port.js';
import type { AbilityDeps } from './abilities.js';
import { installHint } from './install-hint.js';

type CaptureAbility = Abilities['capture'];

const CLOCK = { now: () => performance.now() };

/** Permission shows itself only by opening a port: that is done, and closed again at once where nobody wants it kept (`keep`). */
export async function findCapture(deps: AbilityDeps): Promise<CaptureAbility> {
  const port = portToTry(deps.interfaces);
  if (port === undefined)
    return {
      able: false,
      cause: 'interface-down',
      reason: 'no network port is up, so capturing could not be tried',
    };
  const refusals: { program: CaptureProgram; why: string; reason: string }[] = [];
  for (const program of deps.system.capturePrograms) {
    const [opened, version] = await Promise.all([tryOnce(deps, program, port), versionOf(deps, program)]);
    if (opened.ok) return { able: true, program, ...version };
    refusals.push({ program, why: opened.why, reason: opened.reason });
  }
  const installed = refusals.filter((refusal) => refusal.why !== 'not-found');
  const [first] = installed;
  return first === undefined
    ? {
        able: false,
        cause: 'not-installed',
        reason: `${listOf(deps.system.capturePrograms)} installed`,
        mend: missingHint(deps.system.platform),
      }
    : {
        able: false,
        cause: first.why === 'not-permitted' ? 'not-permitted' : 'local-failure',
        reason: first.reason,
        mend: rightHint(deps.system.platform, first.program),
      };
}

async function tryOnce(
  deps: AbilityDeps,
  program: CaptureProgram,
  port: string,
): ReturnType<typeof openCapture> {
  const taker: Pick<KeptCapture, 'frames'> = { frames: () => {} };
  const opened = await openCapture({ system: deps.system, clock: CLOCK }, program, port, (frame) =>
    taker.frames(frame),
  );
  if (!opened.ok) return opened;
  const { capture } = opened;
  if (deps.keep === undefined) {
    capture.stop();
    await capture.ended;
  } else deps.keep(Object.assign(taker, { program, port, capture }));
  return opened;
}

function listOf(programs: readonly CaptureProgram[]): string {
  return programs.length === 1 ? `${programs[0]} is not` : `neither ${programs.join(' nor ')} is`;
}

function portToTry(interfaces: readonly VantageInterface[]): string | undefined {
  return (bestPort(interfaces) ?? interfaces.find((port) => port.up))?.name;
}

async function versionOf(
  { system: { programs } }: AbilityDeps,
  program: CaptureProgram,
): Promise<{ version?: string }> {
  const told = await programs.run(program, ['--version'], { timeoutMs: 5000 });
  const version = told.ran
    ? /(?:version|Dumpcap[^\d\n]*) ?(\d[\w.]*)/i.exec(`${told.stdout}${told.stderr}`)?.[1]
    : undefined;
  return version === undefined ? {} : { version };
}

function missingHint(platform: string): string {
  if (platform === 'win32') return 'install dumpcap with its packet driver';
  return installHint(platform, 'tcpdump');
}

function rightHint(platform: string, program: CaptureProgram): string {
  if (platform === 'win32') return 'open the console as administrator';
  if (platform === 'darwin') return 'run it with sudo, or give your user the right to read /dev/bpf*';
  return `run it with sudo, or: sudo setcap cap_net_raw,cap_net_admin+ep "$(command -v ${program})"`;
}
