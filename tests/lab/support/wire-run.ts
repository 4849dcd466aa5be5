/** The whole program on a bench of claimants, by each way of asking who is on the link (DESIGN 6). */
import { copyFileSync, rmSync } from 'node:fs';
import path from 'node:path';
import type { EndpointResult, Matrix } from '../../../src/matrix/matrix.js';
import { responderRefusal } from '../presence-runner.js';
import { type Lab, type LabHost, labRefusal, PROJECT } from './lab.js';
import { must } from './run.js';
import { programsRefusal } from './services.js';
import { type Lacking, pathWithout } from './without.js';

/** Undefined where such a bench can be built and asked; else the reason. */
export const wireRefusal =
  (await labRefusal()) ??
  (await responderRefusal()) ??
  programsRefusal('tcpdump', 'arping', 'snmpd', 'openssl', 'ping', 'sysctl', 'setpriv', 'setcap');
if (wireRefusal !== undefined) console.warn(`SKIPPED: who is on the wire, in the lab: ${wireRefusal}`);

export interface Way {
  readonly lacking: readonly Lacking[];
  /**
   * `nobody` can not even run a program with a file capability; `user` can, as on a desktop where arping has one;
   * `captor` is a user for whom tcpdump was given its rights with setcap, as `matchmark kit` says.
   */
  readonly as?: 'nobody' | 'user' | 'captor';
  /** Duplicates that this way must find, and how sure it is of them. */
  readonly finds: Readonly<Partial<Record<'both' | 'late' | 'turns' | 'six-both', 'proven' | 'likely'>>>;
  /** One that it either finds, as likely, or says to be open. */
  readonly mayFind?: 'turns';
  /** Endpoints of which it must say that a second device could not be excluded. */
  readonly open: readonly string[];
}

export const WAYS: readonly [string, Way][] = [
  [
    'by capture',
    {
      lacking: ['arping'],
      finds: { both: 'proven', late: 'proven', turns: 'proven', 'six-both': 'proven' },
      open: [],
    },
  ],
  [
    'by arping',
    {
      lacking: ['tcpdump', 'dumpcap'],
      finds: { both: 'proven', late: 'proven', turns: 'proven' },
      open: ['six-both', 'six-there'],
    },
  ],
  [
    'by the neighbour table alone, as root',
    {
      lacking: ['tcpdump', 'dumpcap', 'arping'],
      finds: {},
      // Where the table can be cleared, each question is put anew, and devices that take turns most often change its row.
      mayFind: 'turns',
      open: ['alone', 'both', 'late', 'six-both', 'six-there'],
    },
  ],
  [
    'by the neighbour table alone, without rights',
    {
      lacking: ['tcpdump', 'dumpcap', 'arping'],
      as: 'nobody',
      finds: {},
      open: ['alone', 'both', 'late', 'turns', 'six-both', 'six-there'],
    },
  ],
  [
    'by arping, without rights',
    {
      lacking: ['tcpdump', 'dumpcap'],
      as: 'user',
      finds: { both: 'proven', late: 'proven', turns: 'proven' },
      open: ['six-both', 'six-there'],
    },
  ],
  [
    'by capture, without rights',
    {
      lacking: ['arping', 'dumpcap'],
      as: 'captor',
      // The table can not be cleared, so the kernel puts one question, and of devices that take turns one answers.
      finds: { both: 'proven', late: 'proven', 'six-both': 'proven' },
      open: [],
    },
  ],
];

export interface Ran<Result> {
  readonly result: Result;
  readonly exitCode: number | null;
}

export async function matchmark<Result>(
  { lab, laptop }: { readonly lab: Lab; readonly laptop: LabHost },
  args: readonly string[],
  { lacking = [], as }: Partial<Pick<Way, 'lacking' | 'as'>> = {},
): Promise<Ran<Result>> {
  const out = path.join(lab.folder, `out-${as ?? 'root'}`);
  const line = [...args, '--json', '--out', out, '--vantage', 'laptop'];
  const env = { PATH: await programsOf(lab, lacking, as), SITE_SNMP: 'lab-read' };
  const ran =
    as === 'user' || as === 'captor'
      ? await laptop.exec('/usr/bin/setpriv', [...USER, process.execPath, PROGRAM, ...line], { env })
      : await laptop.matchmark(line, { asNobody: as === 'nobody', env });
  if (ran.stdout === '') throw new Error(`exit ${ran.exitCode}: ${ran.stderr}`);
  return { result: JSON.parse(ran.stdout) as Result, exitCode: ran.exitCode };
}

const USER = ['--reuid=65534', '--regid=65534', '--clear-groups'];
const PROGRAM = path.join(PROJECT, 'bin/matchmark.js');

async function programsOf(lab: Lab, lacking: readonly Lacking[], as: Way['as']): Promise<string> {
  const folder = pathWithout(lab, ...lacking);
  const own = (program: string, from: string): string => {
    const to = path.join(folder, program);
    rmSync(to, { force: true });
    copyFileSync(from, to);
    return to;
  };
  // A copy has no file capability: this ping uses the kernel's echo socket, which needs no right (icmp(7), ping_group_range).
  own('ping', '/usr/bin/ping');
  if (as === 'user') await must('setcap', ['cap_net_raw+ep', own('arping', '/usr/bin/arping')]);
  if (as === 'captor')
    await must('setcap', ['cap_net_raw,cap_net_admin+ep', own('tcpdump', '/usr/bin/tcpdump')]);
  return folder;
}

export const found = (matrix: Pick<Matrix, 'findings'>, code: string): string[] =>
  matrix.findings
    .filter((finding) => finding.code === code)
    .map(({ subject }) => subject)
    .sort();

export function endpointOf(matrix: Matrix, id: string): EndpointResult {
  const endpoint = matrix.endpoints.find((each) => each.id === id);
  if (endpoint === undefined) throw new Error(`no endpoint ${id}`);
  return endpoint;
}
