/** A bench with 20 addresses present on a /24, for what is asked of presence and for how long that takes. */
import { afterAll, beforeAll } from 'vitest';
import type { PresenceSighting } from '../../../src/sighting/types.js';
import { type LabQuestion, PresenceRunner, type SettledInLab, type Who } from '../presence-runner.js';
import { Lab, type LabHost, type LabSwitch, labRefusal } from './lab.js';
import { programsRefusal } from './services.js';

export const presenceRefusal = (await labRefusal()) ?? programsRefusal('tcpdump', 'arping', 'nft', 'setpriv');

export const HOSTS = 4;
const EACH = 5;
/** Four devices with five addresses each, spread over the network. */
export const PRESENT = Array.from({ length: HOSTS * EACH }, (_, index) => `192.0.2.${10 + index * 12}`);
export const SILENT = '192.0.2.9';
export const EVERY: readonly (readonly [Who, NonNullable<LabQuestion['without']>])[] = [
  ['root', []],
  ['root', ['capture', 'arping']],
  ['nobody-raw', ['capture']],
  ['nobody', []],
];

export function macOf(box: number): string {
  return `00:00:5e:00:53:${(0x10 + box).toString(16)}`;
}

export function outcomes(settled: SettledInLab, outcome: PresenceSighting['outcome']): string[] {
  return Object.entries(settled.presence).flatMap(([address, sighting]) =>
    sighting.outcome === outcome ? [address] : [],
  );
}

export interface PresenceBench {
  readonly lab: Lab;
  readonly laptop: LabHost;
  readonly devices: readonly LabHost[];
  readonly runner: PresenceRunner;
  /** Asks with nothing known from before. */
  settle(who: Who, question: LabQuestion): Promise<SettledInLab>;
}

/** Built before the tests of a `describe` and taken down after them. */
export function presenceBench(): () => PresenceBench {
  const runner = new PresenceRunner();
  let bench: PresenceBench | undefined;
  let lab: Lab | undefined;
  beforeAll(async () => {
    await runner.build();
    lab = new Lab();
    const on: LabSwitch = await lab.addSwitch('bench');
    const laptop = await lab.addHost('laptop', [
      { switch: on, name: 'eth0', addresses: ['192.0.2.5/24', '2001:db8:0:10::5/64'] },
    ]);
    const devices: LabHost[] = [];
    for (let device = 0; device < HOSTS; device += 1) {
      const addresses = PRESENT.filter((_, index) => index % HOSTS === device).map((each) => `${each}/24`);
      const more = device === 0 ? ['2001:db8:0:10::11/64'] : [];
      devices.push(
        await lab.addHost(`device-${device}`, [
          { switch: on, name: 'eth0', mac: macOf(device), addresses: [...addresses, ...more] },
        ]),
      );
    }
    bench = {
      lab,
      laptop,
      devices,
      runner,
      async settle(who, question) {
        await laptop.must('ip', ['neigh', 'flush', 'dev', 'eth0']);
        return runner.settle(laptop, who, question);
      },
    };
  });
  afterAll(async () => {
    await lab?.remove();
    runner.remove();
  });
  return () => {
    if (bench === undefined) throw new Error('the bench was not built');
    return bench;
  };
}
