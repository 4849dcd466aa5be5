/** survey.json, format `matchmark.survey/1`: who answered before power-on, kept to be held against later runs. */
import type { Finding } from '../findings/index.js';
import type { IcmpSighting, IdentitySighting, TcpSighting } from '../sighting/types.js';

/** One address that answered. */
export interface SurveyEntry {
  readonly address: string;
  /** Empty where the address answered across a router. */
  readonly macs: readonly string[];
  /** Registered owner of the MAC prefix, in words that say whose it is ("nobody: the local bit is set"). */
  readonly maker?: string | undefined;
  readonly network?: string | undefined;
  readonly kind: 'planned' | 'default' | 'other';
  /** Planned owner of a planned address. */
  readonly endpoint?: string | undefined;
  /** Devices that come up on a default address, or the device of the endpoint. */
  readonly devices: readonly string[];
  readonly identity: IdentitySighting;
  readonly icmp: IcmpSighting;
  readonly tcp: readonly TcpSighting[];
}

/** How many addresses were really asked, by kind. An address that could not be asked is not counted. */
export interface SurveyAsked {
  readonly planned: number;
  readonly defaults: number;
  /** Networks that were swept, with how many addresses. */
  readonly networks: readonly { readonly network: string; readonly addresses: number }[];
}

export interface Survey {
  readonly format: 'matchmark.survey/1';
  readonly takenAt: string;
  readonly vantage: string;
  readonly site: string;
  readonly complete: boolean;
  readonly entries: readonly SurveyEntry[];
  readonly asked: SurveyAsked;
  /** Addresses that were asked and stayed silent: only these can be called new when they answer later. */
  readonly silent: readonly string[];
  /** Addresses that could not be asked, with the reason. */
  readonly unproven: readonly { readonly address: string; readonly reason: string }[];
  readonly findings: readonly Finding[];
}
