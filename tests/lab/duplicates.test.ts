/**
 * Two boxes on one address, told by each method as far as it can show (DESIGN 6): answers to one question from two senders,
 * RFC 5227 §2.4. What the neighbour table hides follows from RFC 826 (a newer mapping replaces the old one) and the Linux lock time of 1 s.
 */
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { PresenceSighting } from '../../src/sighting/types.js';
import {
  type LabQuestion,
  PresenceRunner,
  responderRefusal,
  startResponder,
  type Who,
} from './presence-runner.js';
import { Lab, type LabHost, type LabSwitch, labRefusal } from './support/lab.js';

const refusal = (await labRefusal()) ?? (await responderRefusal());
if (refusal !== undefined) console.warn(`SKIPPED: duplicate addresses in the lab: ${refusal}`);

const BOTH = '192.0.2.40';
const LATE = '192.0.2.41';
const TURNS = '192.0.2.42';
const SINGLE = '192.0.2.43';
const OWN = '192.0.2.5';
/** A second answer is waited for 900 ms (presence/record.ts): a busy machine may take its own time with timers on both sides. */
const LATE_MS = 450;
const FIRST = '00:00:5e:00:53:0a';
const SECOND = '00:00:5e:00:53:0b';
const TURN_A = '00:00:5e:00:53:1a';
const TURN_B = '00:00:5e:00:53:1b';

type Claimed = Extract<PresenceSighting, { outcome: 'claimed' }>;

function claimedIn(presence: Readonly<Record<string, PresenceSighting>>, address: string): Claimed {
  const sighting = presence[address];
  if (sighting?.outcome !== 'claimed') throw new Error(`${address}: ${JSON.stringify(sighting)}`);
  return sighting;
}

const sorted = (sighting: Claimed): string[] => [...sighting.macs].sort();

describe.skipIf(refusal !== undefined)('two devices on one address', () => {
  const runner = new PresenceRunner();
  let lab: Lab;
  let laptop: LabHost;

  beforeAll(async () => {
    await runner.build();
    lab = new Lab();
    const bench = await lab.addSwitch('bench');
    laptop = await lab.addHost('laptop', [
      { switch: bench, name: 'eth0', mac: '00:00:5e:00:53:05', addresses: [`${OWN}/24`] },
    ]);
    await lab.addHost('first', [
      {
        switch: bench,
        name: 'eth0',
        mac: FIRST,
        addresses: [`${BOTH}/24`, `${LATE}/24`, `${SINGLE}/24`],
      },
    ]);
    await lab.addHost('second', [{ switch: bench, name: 'eth0', mac: SECOND, addresses: [`${BOTH}/24`] }]);
    await silentBox(bench, 'late', SECOND, (host) =>
      startResponder(host, 'eth0', LATE, SECOND, { delayMs: LATE_MS }),
    );
    await silentBox(bench, 'turn-a', TURN_A, (host) =>
      startResponder(host, 'eth0', TURNS, TURN_A, { turn: 'odd' }),
    );
    await silentBox(bench, 'turn-b', TURN_B, (host) =>
      startResponder(host, 'eth0', TURNS, TURN_B, { turn: 'even' }),
    );
  });
  afterAll(async () => {
    await lab?.remove();
    runner.remove();
  });

  /** A namespace without addresses: only the responder speaks for it. */
  async function silentBox(
    at: LabSwitch,
    name: string,
    mac: string,
    begin: (host: LabHost) => Promise<unknown>,
  ): Promise<void> {
    // The port has another MAC than the one that the responder claims, or the two SECONDs would confuse the switch.
    const own = mac.replace(/^00:00:5e:00:53/, '02:00:5e:00:53');
    const host = await lab.addHost(name, [{ switch: at, name: 'eth0', mac: own }]);
    await begin(host);
  }

  async function settle(who: Who, question: Omit<LabQuestion, 'addresses'>) {
    await laptop.must('ip', ['neigh', 'flush', 'dev', 'eth0']);
    return runner.settle(laptop, who, { addresses: [BOTH, LATE, TURNS, SINGLE], ...question });
  }

  // First of all: devices asked before ask back within 5 s (RFC 4861 §10), and by that the laptop would know one of them unasked.
  it('shows two that answer one question, and a late one, by capture alone without rights', async () => {
    const { presence } = await settle('nobody-raw', { without: ['arping'] });
    expect(sorted(claimedIn(presence, BOTH))).toEqual([FIRST, SECOND]);
    expect(sorted(claimedIn(presence, LATE))).toEqual([FIRST, SECOND]);
    expect(claimedIn(presence, SINGLE)).toMatchObject({ macs: [FIRST], duplicateCheck: 'proven' });
  });

  it.each<[Who, LabQuestion['without']]>([
    ['root', ['arping']],
    ['nobody-raw', []],
  ])('shows all three kinds by capture (%s)', async (who, without = []) => {
    const { presence, abilities } = await settle(who, { without });
    expect(abilities.capture.able).toBe(true);
    expect(abilities.privileged).toBe(who === 'root');
    expect(sorted(claimedIn(presence, BOTH))).toEqual([FIRST, SECOND]);
    expect(sorted(claimedIn(presence, TURNS))).toEqual([TURN_A, TURN_B]);
    const late = claimedIn(presence, LATE);
    expect(sorted(late)).toEqual([FIRST, SECOND]);
    const heardAt = (mac: string): number =>
      late.claims.find((claim) => claim.mac === mac && claim.method === 'capture')?.seenFromMs ?? Number.NaN;
    expect(heardAt(SECOND) - heardAt(FIRST)).toBeGreaterThan(LATE_MS / 2);
    expect(claimedIn(presence, SINGLE)).toMatchObject({ macs: [FIRST], duplicateCheck: 'proven' });
  });

  it.each<Who>(['root', 'nobody-raw'])('shows all three kinds by arping (%s)', async (who) => {
    const { presence, abilities } = await settle(who, { without: ['capture'] });
    expect(abilities.arping).toMatchObject({ able: true, flavour: 'iputils' });
    expect(sorted(claimedIn(presence, BOTH))).toEqual([FIRST, SECOND]);
    expect(sorted(claimedIn(presence, LATE))).toEqual([FIRST, SECOND]);
    expect(sorted(claimedIn(presence, TURNS))).toEqual([TURN_A, TURN_B]);
    expect(claimedIn(presence, SINGLE)).toMatchObject({ macs: [FIRST], duplicateCheck: 'proven' });
  });

  it('shows devices that take turns by the neighbour table alone, as root, and says what stays open', async () => {
    const { presence } = await settle('root', { without: ['capture', 'arping'] });
    expect(claimedIn(presence, TURNS)).toMatchObject({ duplicateCheck: 'in-turn' });
    expect(sorted(claimedIn(presence, TURNS))).toEqual([TURN_A, TURN_B]);
    for (const address of [LATE, SINGLE])
      expect(claimedIn(presence, address)).toMatchObject({ macs: [FIRST], duplicateCheck: 'not-excluded' });
  });

  it('finds them present by the neighbour table alone without rights, and says what could not be excluded and the mend', async () => {
    const { presence, abilities } = await settle('nobody', {});
    expect(abilities).toMatchObject({
      capture: { able: false },
      arping: { able: false },
      privileged: false,
    });
    for (const address of [LATE, SINGLE]) {
      const sighting = claimedIn(presence, address);
      expect(sighting).toMatchObject({
        macs: [FIRST],
        methods: ['neighbour-table'],
        duplicateCheck: 'not-excluded',
      });
      expect(sighting.duplicateCheckReason).toMatch(/second device .* stays hidden.*tcpdump/s);
    }
    expect(claimedIn(presence, BOTH).duplicateCheck).not.toBe('proven');
  });

  it("shows another device on the laptop's own address", async () => {
    const rival = await lab.addHost('rival', []);
    const bench = await lab.addSwitch('side');
    await lab.cable(rival, { switch: bench, name: 'eth0', mac: SECOND, addresses: ['198.51.100.5/24'] });
    await lab.cable(laptop, {
      switch: bench,
      name: 'eth1',
      mac: '00:00:5e:00:53:06',
      addresses: ['198.51.100.5/24'],
    });
    const { presence } = await runner.settle(laptop, 'root', { addresses: ['198.51.100.5', OWN] });
    expect(sorted(claimedIn(presence, '198.51.100.5'))).toEqual(['00:00:5e:00:53:06', SECOND]);
    expect(claimedIn(presence, OWN).macs).toEqual(['00:00:5e:00:53:05']);
  });
});
