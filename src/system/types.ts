/** What the three operating systems do each in their own way, behind one interface: linux/, macos/, windows/. */
import type { NetworkInterfaceInfo } from 'node:os';
import type { VantageRoute } from '../sighting/types.js';
import type { Neighbour } from './neighbour.js';
import type { Programs } from './program-types.js';

/** What a system is read with: the real things (this-system.ts), or those of a test. */
export interface SystemDeps {
  readonly programs: Programs;
  /** process.platform */
  readonly platform: string;
  /** os.networkInterfaces */
  readonly networkInterfaces: () => NodeJS.Dict<NetworkInterfaceInfo[]>;
  /** process.geteuid, absent on Windows. */
  readonly effectiveUser?: (() => number) | undefined;
  /** Reads a small text file; undefined where it is not there. Used for /proc and /sys alone. */
  readonly readText: (path: string) => Promise<string | undefined>;
}

/** A port as the system's own programs tell it, beside what Node lists. */
export interface PortTold {
  readonly name: string;
  readonly mac?: string | undefined;
  /** `address/prefix` */
  readonly addresses?: readonly string[] | undefined;
  readonly mtu?: number | undefined;
  readonly up: boolean;
  readonly wireless?: boolean | undefined;
}

export interface RoutesRead {
  readonly routes: readonly VantageRoute[];
  /** Why the routes are not known. */
  readonly unknown?: string | undefined;
}

/** A row, with how long ago the kernel last had proof of it, in whole seconds, where the system tells (Linux alone). */
export interface TableRow extends Neighbour {
  readonly confirmedAgoS?: number | undefined;
}

export type TableRead =
  | {
      readonly ok: true;
      readonly rows: readonly TableRow[];
      /** The table has a row for every address asked about, answered or not. */
      readonly showsQuestions: boolean;
    }
  | { readonly ok: false; readonly reason: string };

/** Rows of one port that are to be asked for afresh. */
export interface Forget {
  readonly port: string;
  readonly addresses: readonly string[];
  /** Networks of that port that hold them: one command a network where there are many. */
  readonly networks: readonly string[];
}

export type CaptureProgram = 'tcpdump' | 'dumpcap';

/** What a system does with time, for those who decide how long to wait (src/run/patience.ts). All in milliseconds. */
export interface Timings {
  /** How long a TCP refusal takes beyond the round trip. */
  readonly refusalMs: number;
  /** A UDP socket is told of "port unreachable". Where it is not, a closed port is silence. */
  readonly hearsPortUnreachable: boolean;
  /** After so long the kernel gives an unanswered neighbour question up. */
  readonly neighbourGivesUpMs: number;
  /** How long a neighbour that answered is used without a new question. */
  readonly neighbourKeptMs: number;
  /** For so long after an unanswered neighbour question the system answers "host is down" without asking again. 0: it asks. */
  readonly holdDownMs: number;
}

/** Makes the kernel ask who has an address (ARP), without anything else that would have to be sent there. */
export interface NeighbourAsker {
  /** Asks anew for each, whatever the table has of them, in this order. False where it can no more: nothing was asked then. */
  ask(port: string, addresses: readonly string[]): boolean;
  /** Enough was asked of this one: the kernel would go on by itself. */
  giveUp(port: string, address: string): void;
  /** Resolves when it can ask no more, by itself or by `close`; what was asked last may not have been put then. */
  readonly over: Promise<void>;
  close(): void;
}

export interface System extends SystemDeps {
  readonly timings: Timings;
  /** Programs that can capture here, the one that hands frames over at once first. */
  readonly capturePrograms: readonly CaptureProgram[];
  /** There is an arping for this system. */
  readonly hasArping: boolean;
  ports(): Promise<readonly PortTold[]>;
  routes(): Promise<RoutesRead>;
  /** The neighbour table, both families. Cheap enough to be read several times a second. */
  neighbours(): Promise<TableRead>;
  /** Takes rows out of the neighbour table, so that the kernel has to ask anew. False where it could not be done. */
  forget(rows: Forget): Promise<boolean>;
  /** For IPv4; absent or undefined where only something that is sent makes the system ask. Needs the right by which rows are forgotten. */
  neighbourAsker?(): NeighbourAsker | undefined;
  /** Administrator rights. */
  privileged(): Promise<boolean>;
  /** What the capture program calls this port. Undefined where it does not have it. */
  captureDevice(program: CaptureProgram, port: string): Promise<string | undefined>;
}
