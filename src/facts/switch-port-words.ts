/** A port of a switch in a fact: how it is called, and how it is said that a cable is in another than planned. */
import type { Cables } from '../cabling/cables.js';
import { matchPlannedPort } from '../cabling/placed.js';
import { sayPort } from '../cabling/port-name.js';
import type { PortAtSwitch } from '../cabling/types.js';
import { finding } from '../findings/index.js';
import type { Endpoint } from '../plan/model.js';
import { list } from '../text/sentence.js';
import type { CableCause, Why } from './cable-causes.js';
import { differing, type Fact, type Stated } from './fact.js';

export function sayPlanned(switchName: string, port: string | undefined): string {
  return port === undefined ? switchName : `${switchName} ${sayPort(port)}`;
}

interface Elsewhere {
  readonly cause: CableCause;
  readonly measured: string;
  readonly by: string;
  /** What the switch told, where that is more than `by`. */
  readonly told?: string | undefined;
  readonly vantage: string;
  readonly swappedWith?: string | undefined;
}

/** `planned`: of the one member that is meant, where the link has several. */
export function differs(
  endpoint: Endpoint,
  stated: Stated,
  { cause, measured, by, told, vantage, swappedWith }: Elsewhere,
  planned: string = stated.planned,
): Fact {
  const evidence = told === undefined ? { text: by, told: true as const } : { text: told };
  const swap = swappedWith === undefined ? '' : `, swapped with ${swappedWith}`;
  return differing(stated, cause, `it is on ${measured}${swap}`, {
    measured,
    vantage,
    evidence: [evidence],
    findings: [
      finding(
        'wrong-switch-port',
        endpoint.id,
        { endpoint: endpoint.id, planned, measured, by, swappedWith },
        { evidence: [evidence], about: [endpoint.id, ...(swappedWith === undefined ? [] : [swappedWith])] },
      ),
    ],
  });
}

export function sayPortAt(at: PortAtSwitch): string {
  return `${at.switch} ${sayPort(at.port.name)}`;
}

/** Why a planned port name could not be found among the ports of its switch. */
export function unclearPort(cables: Cables, switchName: string, port: string): Why | undefined {
  const match = matchPlannedPort(cables, switchName, port);
  const mend = `write the port as ${switchName} calls it`;
  if (match.kind === 'none')
    return {
      cause: 'port-unknown',
      reason: `${switchName} has no port called ${port}, so the switch port could not be compared`,
      mend,
    };
  if (match.kind === 'one') return undefined;
  const names = list(
    match.ports.map(({ name }) => name),
    4,
    'or',
  );
  return {
    cause: 'port-ambiguous',
    reason: `${port} on ${switchName} may be ${names}, so the switch port could not be compared`,
    mend,
  };
}
