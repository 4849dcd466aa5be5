import type { SwitchPort } from '../sighting/types.js';

/** A port of a switch of the plan, as its agent tells it. */
export interface PortAtSwitch {
  readonly switch: string;
  readonly port: SwitchPort;
}
