/** Written plan and located rows -> the one model, every reference resolved or refused. */
import type { Plan, PlannedVantage, StatedAvailability } from '../../plan/model.js';
import type { Issues } from '../issues.js';
import type { LocatedRow } from '../row.js';
import type { WrittenPlan } from '../schema.js';
import { assembleCredentials, checkCredentialNames } from './credentials.js';
import { checkControllers, listedDevices, withInferredDevices } from './devices.js';
import { assembleEndpoints } from './endpoints.js';
import { assembleGroups, checkEnds } from './groups.js';
import { inferNetworks, type Locate, listedNetworks } from './networks.js';
import { unifySpelling } from './spelling.js';

/** The plan without `files`, which only the opener of files knows. */
export type PlanBody = Omit<Plan, 'files'>;

export interface Assembly {
  readonly written: Omit<WrittenPlan, 'plan' | 'endpoints'>;
  readonly rows: readonly LocatedRow[];
  readonly locate: Locate;
  /** Folder that `file:` secrets are relative to; empty where unknown. */
  readonly directory: string;
  /** False where rows were refused: what only they name would look unknown, and is not asked about. */
  readonly rowsComplete: boolean;
  /** What the site is called where nobody says. */
  readonly fallbackName: string;
}

export function assemblePlan(assembly: Assembly, issues: Issues): PlanBody {
  const { locate, directory, fallbackName, rowsComplete } = assembly;
  const { written, rows } = unifySpelling(assembly.written, assembly.rows);
  const listed = listedNetworks(written.networks ?? [], locate, issues);
  const networks = listed.length > 0 ? listed : inferNetworks(rows, issues);
  const endpoints = assembleEndpoints(rows, networks, issues);
  const devices = withInferredDevices(
    listedDevices(written.devices ?? [], locate, issues),
    endpoints,
    issues,
  );
  if (rowsComplete) checkControllers(written.devices ?? [], endpoints, locate, issues);
  const groups = assembleGroups(written.groups ?? [], endpoints, locate, issues);
  if (rowsComplete) checkEnds(written.groups ?? [], devices, groups, locate, issues);
  const snmp = assembleCredentials(written.snmp ?? {}, directory, locate, issues);
  const placeOf = (user: { at: Plan['endpoints'][number]['at'] }) => ({ ...user.at, column: 'snmp' });
  checkCredentialNames([...devices, ...endpoints], Object.keys(snmp), placeOf, issues);
  return {
    site: { name: written.site?.name ?? fallbackName, reference: written.site?.reference },
    networks,
    devices,
    endpoints,
    groups,
    snmp,
    observe: (written.observe ?? []).map((one, index) => ({ ...one, at: locate(['observe', index]) })),
    vantages: assembleVantages(written.vantages ?? [], locate, issues),
    availability: assembleAvailability(written.availability ?? [], locate, issues),
  };
}

function assembleVantages(
  written: NonNullable<WrittenPlan['vantages']>,
  locate: Locate,
  issues: Issues,
): PlannedVantage[] {
  const names = new Set<string>();
  return written.flatMap((one, index) => {
    const at = locate(['vantages', index]);
    const key = one.name.toLowerCase();
    if (names.has(key)) {
      issues.error('duplicate-name', at, { found: one.name, expected: 'the name of another vantage' });
      return [];
    }
    names.add(key);
    return [{ name: one.name, ssh: one.ssh, at }];
  });
}

/** A = MTBF / (MTBF + MTTR), the steady-state availability (IEC 61078, from memory). */
function assembleAvailability(
  written: NonNullable<WrittenPlan['availability']>,
  locate: Locate,
  issues: Issues,
): StatedAvailability[] {
  return written.flatMap((one, index) => {
    const at = locate(['availability', index]);
    const between = one['mtbf-hours'];
    const repair = one['mttr-hours'];
    const times = between !== undefined && repair !== undefined;
    const stated = one.value !== undefined;
    if (stated === times || (stated && (between ?? repair) !== undefined)) {
      issues.error('wrong-shape', at, { expected: 'either "value", or both "mtbf-hours" and "mttr-hours"' });
      return [];
    }
    const value = one.value ?? (times ? between / (between + repair) : Number.NaN);
    return [{ kind: one.kind, name: one.name, value, at }];
  });
}
