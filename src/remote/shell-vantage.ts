/** Where a shell elsewhere looks from: what iproute2, or /proc, tells there. */
import { findPing } from '../kit/ping-ability.js';
import type { Vantage } from '../sighting/types.js';
import { linuxSystem } from '../system/linux/linux.js';
import { type Programs, textOf } from '../system/program-types.js';
import type { System } from '../system/types.js';
import { cleanText } from '../text/clean.js';
import { joinPorts } from '../vantage/join-ports.js';
import { parseIpAddrText } from './ip-text.js';

const TIMEOUT_MS = 10_000;

/** All that runs there is taken for Linux: on another system its programs tell that they are absent. */
function shellSystem(programs: Programs): System {
  const system = linuxSystem({
    programs,
    platform: 'linux',
    networkInterfaces: () => ({}),
    readText: async (path) => textOf(await programs.run('cat', [path], { timeoutMs: TIMEOUT_MS })),
  });
  return { ...system, capturePrograms: [], hasArping: false };
}

export async function shellVantage(name: string, from: string, programs: Programs): Promise<Vantage> {
  const system = shellSystem(programs);
  const [told, routes, kind] = await Promise.all([
    system.ports(),
    system.routes(),
    programs.run('uname', ['-s', '-r'], { timeoutMs: TIMEOUT_MS }),
  ]);
  const ports =
    told.length > 0
      ? told
      : parseIpAddrText(textOf(await programs.run('ip', ['addr'], { timeoutMs: TIMEOUT_MS })) ?? '');
  const interfaces = joinPorts({}, ports);
  const no = (what: string) => ({
    able: false as const,
    cause: 'not-supported' as const,
    reason: `a shell elsewhere cannot ${what}`,
  });
  return {
    name,
    platform: cleanText(textOf(kind) ?? 'unknown', 60).toLowerCase(),
    interfaces,
    routes: routes.routes,
    ...(routes.unknown === undefined ? {} : { routesUnknown: routes.unknown }),
    abilities: {
      ping: await findPing({ system, interfaces }),
      capture: no('listen to what passes'),
      arping: no('send ARP questions of its own'),
      neighbourTable: { able: true },
      privileged: false,
    },
    from,
  };
}
