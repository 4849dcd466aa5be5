/** The place that a run looked from, and what it can do there. */
export interface VantageInterface {
  readonly name: string;
  readonly mac: string;
  /** `address/prefix`. */
  readonly addresses: readonly string[];
  readonly mtu?: number | undefined;
  readonly up: boolean;
}

export interface VantageRoute {
  /** `address/prefix`; default is `0.0.0.0/0` or `::/0`. */
  readonly destination: string;
  readonly interface: string;
  readonly gateway?: string | undefined;
}

export interface Vantage {
  readonly name: string;
  /** `linux`, `darwin`, `win32`, and the release text. */
  readonly platform: string;
  readonly interfaces: readonly VantageInterface[];
  readonly routes: readonly VantageRoute[];
  /** Routes could not be read: only on-link can be told, and why. */
  readonly routesUnknown?: string | undefined;
  readonly abilities: Abilities;
}

/** What this laptop can do. Each gap has a reason. `kit` shows it; the run chooses its methods by it. */
export interface Abilities {
  readonly ping: Ability & {
    readonly flavour?: 'iputils' | 'busybox' | 'bsd' | 'windows' | 'other' | undefined;
  };
  readonly capture: Ability & { readonly program?: 'tcpdump' | 'dumpcap' | undefined };
  readonly arping: Ability & { readonly flavour?: 'iputils' | 'habets' | 'busybox' | undefined };
  readonly neighbourTable: Ability;
  readonly privileged: boolean;
}

export type Ability =
  | { readonly able: true; readonly path?: string | undefined; readonly version?: string | undefined }
  | { readonly able: false; readonly reason: string; readonly mend?: string | undefined };
