/** What every question of one address is asked with. */
import type { AddressSighting } from '../sighting/types.js';
import type { DeviceShares } from './device-share.js';
import type { Pacer } from './pace.js';
import type { Patiences } from './patience.js';
import type { Credential, ProbeSet } from './probe-set.js';
import type { Question } from './questions.js';
import type { LossCounter } from './silence.js';

export interface AskContext {
  readonly probes: ProbeSet;
  readonly pacer: Pacer;
  readonly patiences: Patiences;
  readonly losses: LossCounter;
  readonly shares: DeviceShares;
  readonly signal: AbortSignal;
  /** The credential with its secrets, or why it has none; absent where the plan names none. */
  readonly credential?: Credential | undefined;
  /** MTU of the interface that the questions leave by. */
  readonly interfaceMtu?: number | undefined;
  /** An agent answered: what is slow to read of it can begin. */
  readonly onAgent?: ((question: Question, snmp: AddressSighting['snmp']) => void) | undefined;
}
