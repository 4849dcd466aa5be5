import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { findAbilities } from '../../src/kit/abilities.js';
import type { KeptCapture } from '../../src/presence/capture.js';
import { type Heard, listen } from '../../src/presence/listen.js';
import { aVantage } from '../support/evidence.js';
import { aSystem, CLOCK, fakePrograms, fakeStream, NOT_PERMITTED } from '../system/fakes.js';

/** Frames recorded by tcpdump; fixtures/packets/README.md says what is in them. */
function packets(name: string): Uint8Array {
  return readFileSync(fileURLToPath(new URL(`../../fixtures/packets/${name}`, import.meta.url)));
}

const VANTAGE = aVantage();
const quiet = new AbortController().signal;
const settle = (): Promise<void> => new Promise((resolve) => setTimeout(resolve, 100));

describe('listening', () => {
  it('hands on who claims what, in chunks of any size', async () => {
    const bytes = packets('arp-cases.pcap');
    const chunks = Array.from({ length: Math.ceil(bytes.length / 7) }, (_, i) =>
      bytes.subarray(i * 7, i * 7 + 7),
    );
    const heard: Heard[] = [];
    const programs = fakePrograms({}, { tcpdump: () => fakeStream(chunks, { restAfterMs: 30 }) });
    const listener = await listen(VANTAGE, ['eth0'], { system: aSystem(programs), clock: CLOCK }, quiet);
    listener.subscribe((each) => heard.push(each));
    await settle();
    // Two senders for 192.0.2.45 in answer to one question: X arp-cases of the project's standards notes, tshark 4.0.17.
    const claims = heard.filter((each) => each.kind === 'claims' && each.address === '192.0.2.45');
    expect(new Set(claims.map((each) => each.mac))).toEqual(
      new Set(['00:00:5e:00:53:0c', '00:00:5e:00:53:0b']),
    );
    expect(heard.some((each) => each.kind === 'asks' && each.toAll)).toBe(true);
    await listener.stop();
    expect(listener.interfaces()).toEqual([]);
    expect(listener.notes()).toEqual([]);
  });

  it('goes on with a capture that is under way, and starts no other on that port', async () => {
    const programs = fakePrograms(
      {},
      { tcpdump: () => fakeStream([packets('arp-cases.pcap')], { restAfterMs: 60 }) },
    );
    const deps = { system: aSystem(programs), clock: CLOCK };
    let taken: KeptCapture | undefined;
    const keep = (kept: KeptCapture): void => {
      taken = kept;
    };
    const { capture } = await findAbilities({ system: deps.system, interfaces: VANTAGE.interfaces, keep });
    expect([capture.able, taken?.port]).toEqual([true, 'eth0']);
    const vantage = { ...VANTAGE, abilities: { ...VANTAGE.abilities, capture } };
    const listener = await listen(vantage, ['eth0'], { ...deps, atOnce: true, kept: taken }, quiet);
    expect([listener.interfaces(), listener.opening?.()]).toEqual([['eth0'], []]);
    const opened = programs.calls.filter((call) => call.includes('tcpdump -i'));
    expect(opened).toHaveLength(1);
    await listener.stop();
    expect(await taken?.capture.ended).toBeUndefined();
    expect(listener.interfaces()).toEqual([]);
  });

  it('tells the LLDP neighbour of the own port, but not itself', async () => {
    const programs = () => fakePrograms({}, { tcpdump: () => fakeStream([packets('lldp.pcap')]) });
    const listener = await listen(VANTAGE, ['eth0'], { system: aSystem(programs()), clock: CLOCK }, quiet);
    await settle();
    const [neighbour] = listener.neighbours();
    expect(neighbour?.localPort).toBe('eth0');
    expect(neighbour?.portId).toBeTruthy();
    await listener.stop();
  });

  it('asks by the program that the abilities name, with ARP, LLDP and neighbour discovery, tagged too', async () => {
    const programs = fakePrograms({}, { dumpcap: () => fakeStream([packets('arp-cases.pcap')]) });
    const abilities = { ...VANTAGE.abilities, capture: { able: true, program: 'dumpcap' } as const };
    const listener = await listen(
      { ...VANTAGE, abilities },
      ['eth0', 'eth0'],
      { system: aSystem(programs), clock: CLOCK },
      quiet,
    );
    expect(listener.interfaces()).toEqual(['eth0']);
    await listener.stop();
    expect(programs.calls).toHaveLength(1);
    expect(programs.calls[0]).toMatch(/dumpcap -i eth0 .*arp or ether proto 0x88cc .*icmp6.*vlan and/);
  });

  it('hears nothing and says why where it may not listen', async () => {
    const programs = fakePrograms({}, { tcpdump: () => NOT_PERMITTED });
    const listener = await listen(VANTAGE, ['eth0'], { system: aSystem(programs), clock: CLOCK }, quiet);
    expect(listener.interfaces()).toEqual([]);
    expect(listener.notes()[0]).toMatch(/No capture on eth0/);
    await listener.stop();
  });

  it('says that a capture ended by itself', async () => {
    const stderr = 'tcpdump: listening on eth0\ntcpdump: pcap_loop: The interface disappeared\n';
    let ready = 0;
    const stream = fakeStream([packets('arp-cases.pcap')], { stderr });
    const programs = fakePrograms({}, { tcpdump: () => ({ ...stream, stop: () => (ready += 1) }) });
    const listener = await listen(VANTAGE, ['eth0'], { system: aSystem(programs), clock: CLOCK }, quiet);
    stream.stop();
    await settle();
    expect(listener.interfaces()).toEqual([]);
    expect(listener.notes()[0]).toMatch(/ended early.*interface disappeared/);
    expect(ready).toBe(0);
  });

  it('stops when the run is interrupted', async () => {
    const interrupt = new AbortController();
    const programs = fakePrograms({}, { tcpdump: () => fakeStream([packets('arp-cases.pcap')]) });
    const listener = await listen(
      VANTAGE,
      ['eth0'],
      { system: aSystem(programs), clock: CLOCK },
      interrupt.signal,
    );
    interrupt.abort();
    await settle();
    expect(listener.interfaces()).toEqual([]);
  });
});
