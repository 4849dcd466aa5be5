/** Starts and stops the embedded site. Loopback only, unprivileged ports only. */
import type { Plan } from '../plan/model.js';
import type { ProbeSet } from '../run/probe-set.js';
import { areApart } from './apart.js';
import { type DemoHost, hostsOf } from './hosts.js';
import { serveIscsi } from './iscsi-target.js';
import { ADDRESS, type DemoPorts, PORT_BASES, portsFrom } from './layout.js';
import { serveSilence, serveSshLine } from './line-server.js';
import type { Listening, Place } from './listening.js';
import { type PlanFile, planFiles, readDemoPlan } from './plan-text.js';
import { PLANTED, type PlantedFault } from './planted.js';
import { type Detour, detourFor, pointed } from './single-address.js';
import { serveSnmp } from './snmp-agent.js';
import { serveHttp, serveHttps } from './web-server.js';

export interface DemoSite {
  readonly plan: Plan;
  /** The plan as its two files, for who wants to read it. */
  readonly files: readonly [PlanFile, PlanFile];
  readonly planted: readonly PlantedFault[];
  /** What the reader should know of this stage set. */
  readonly note: readonly string[];
  /** Other programs of this laptop reach the site under its planned addresses. */
  readonly reachable: boolean;
  /** Points probes at where the site really is; leaves them alone where each address exists. */
  point(probes: ProbeSet): ProbeSet;
  stop(): Promise<void>;
}

export interface DemoOptions {
  /** Put everything on 127.0.0.1. Default: only where the other loopback addresses cannot be used. */
  readonly singleAddress?: boolean | undefined;
  readonly portBases?: readonly number[] | undefined;
}

export async function startDemoSite(options: DemoOptions = {}): Promise<DemoSite> {
  const single =
    options.singleAddress ?? !(await areApart(ADDRESS['vault-1/A/mgmt'], ADDRESS['vault-1/B/mgmt']));
  const bases = options.portBases ?? PORT_BASES;
  let lastError: unknown;
  for (const base of bases) {
    const ports = portsFrom(base);
    const detour = single ? detourFor(everyPlace(ports), base + 5_000) : undefined;
    try {
      const running = await startAll(hostsOf(ports), ports, detour);
      const files = planFiles(ports);
      return {
        plan: readDemoPlan(files),
        files,
        planted: PLANTED,
        note: notesFor(single),
        reachable: detour === undefined,
        point: (probes) => (detour === undefined ? probes : pointed(probes, detour)),
        stop: () => stopAll(running),
      };
    } catch (error) {
      if (!isTaken(error)) throw error;
      lastError = error;
    }
  }
  throw lastError;
}

function notesFor(single: boolean): string[] {
  return [
    'Everything runs inside this laptop, on loopback addresses and ports above 1024; nothing leaves it.',
    'A loopback has no wire: nobody claims an address by ARP, every address answers an echo, and a broken port refuses instead of being silent.',
    ...(single
      ? [
          'This system does not keep loopback addresses apart, so every planned address stands on ports of its own at 127.0.0.1.',
        ]
      : []),
  ];
}

/** Starts everything or nothing. */
async function startAll(
  hosts: readonly DemoHost[],
  ports: DemoPorts,
  detour: Detour | undefined,
): Promise<Listening[]> {
  const started = await Promise.allSettled(hosts.flatMap((host) => servicesOf(host, ports, detour)));
  const running = started.flatMap((one) => (one.status === 'fulfilled' ? [one.value] : []));
  const failed = started.find((one) => one.status === 'rejected');
  if (failed === undefined) return running;
  await stopAll(running);
  throw failed.reason;
}

async function stopAll(running: readonly Listening[]): Promise<void> {
  await Promise.all(running.map((one) => one.stop()));
}

function servicesOf(host: DemoHost, ports: DemoPorts, detour: Detour | undefined): Promise<Listening>[] {
  const place = (port: number): Place => {
    const planned = { address: ADDRESS[host.at], port };
    return detour?.to(planned.address, planned.port) ?? planned;
  };
  const services: Promise<Listening>[] = [];
  const { http, https, ssh, snmp, iscsi } = host;
  if (http !== undefined) services.push(serveHttp(place(ports.http), http));
  if (https !== undefined) services.push(serveHttps(place(ports.https), https, https.certificate));
  if (ssh !== undefined) services.push(serveSshLine(place(ports.ssh), ssh));
  if (snmp !== undefined) services.push(serveSnmp(place(ports.snmp), snmp));
  if (iscsi === 'mute') services.push(serveSilence(place(ports.iscsi)));
  else if (iscsi !== undefined) services.push(serveIscsi(place(ports.iscsi), iscsi));
  return services;
}

function everyPlace(ports: DemoPorts): Place[] {
  return Object.values(ADDRESS).flatMap((address) => Object.values(ports).map((port) => ({ address, port })));
}

/** In use, or kept by the system (Windows reserves ranges). */
function isTaken(error: unknown): boolean {
  const code = (error as NodeJS.ErrnoException | undefined)?.code;
  return code === 'EADDRINUSE' || code === 'EACCES';
}
