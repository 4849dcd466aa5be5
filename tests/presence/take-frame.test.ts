import { describe, expect, it } from 'vitest';
import type { Heard } from '../../src/presence/listen.js';
import { macsOf, newRecord, sightingOf } from '../../src/presence/record.js';
import { takeFrame } from '../../src/presence/take-frame.js';

const OWN = '00:00:5e:00:53:05';
const BOX = '00:00:5e:00:53:0c';
const VIRTUAL = '00:00:5e:00:01:01';
const OWN_MACS = new Set([OWN]);

function heard(more: Partial<Heard> = {}): Heard {
  return {
    kind: 'claims',
    address: '192.0.2.45',
    mac: BOX,
    frameSource: more.mac ?? BOX,
    interface: 'eth0',
    atMs: 100,
    timeUs: 1_000_500,
    toAll: false,
    frameDestination: OWN,
    ...more,
  };
}

const QUESTION = heard({ kind: 'asks', mac: OWN, frameSource: OWN, toAll: true, timeUs: 1_000_000 });

function hearing(...all: Heard[]) {
  const record = newRecord('192.0.2.45', 'eth0');
  const notes = all.map((each) => takeFrame(record, each, OWN_MACS));
  return { record, notes, sighting: sightingOf(record, { captured: true, mend: 'M' }) };
}

describe('what a capture heard', () => {
  it('is a claim with its delay after the own question', () => {
    const { record } = hearing(QUESTION, heard());
    expect([...record.claims.values()]).toMatchObject([
      { mac: BOX, method: 'capture', afterMs: 0.5, count: 1 },
    ]);
    expect(record.heardQuestions).toBe(1);
  });

  // RFC 5227 §2.4: a different sender hardware address for the same sender address is a conflict.
  it('is two claimants where two MACs claim', () => {
    const { sighting } = hearing(QUESTION, heard(), heard({ mac: '00:00:5e:00:53:0b' }));
    expect(sighting).toMatchObject({ macs: [BOX, '00:00:5e:00:53:0b'], duplicateCheck: 'proven' });
  });

  // RFC 9568 §8.1.2: the active router answers with the virtual MAC in ar$sha and its own as Ethernet source.
  it('is one claimant where one virtual MAC comes from two devices over time', () => {
    const { record, sighting } = hearing(
      QUESTION,
      heard({ mac: VIRTUAL, frameSource: BOX }),
      heard({ mac: VIRTUAL, frameSource: '00:00:5e:00:53:0b' }),
    );
    expect(macsOf(record)).toEqual([VIRTUAL]);
    expect(sighting).toMatchObject({ outcome: 'claimed', macs: [VIRTUAL] });
    expect([...record.claims.values()].map((claim) => claim.frameSource)).toEqual([BOX, '00:00:5e:00:53:0b']);
  });

  it('does not count a unicast question of the own kernel as one to all', () => {
    expect(hearing({ ...QUESTION, toAll: false }).record.heardQuestions).toBe(0);
  });

  it('does not take own frames, other ports or passing VLANs for claims', () => {
    const { record } = hearing(
      heard({ mac: OWN, frameSource: OWN }),
      heard({ interface: 'eth1' }),
      heard({ vlan: 21, toAll: true, frameDestination: 'ff:ff:ff:ff:ff:ff' }),
    );
    expect(macsOf(record)).toEqual([]);
  });

  it('takes a tagged answer that was sent to us', () => {
    expect([...hearing(QUESTION, heard({ vlan: 21 })).record.claims.values()]).toMatchObject([{ vlan: 21 }]);
  });

  // RFC 5227 §1.1: a probe is no host yet.
  it('tells of a device that is testing whether it may have the address, without a claim', () => {
    const { record, notes } = hearing(heard({ kind: 'wants' }));
    expect(macsOf(record)).toEqual([]);
    expect(notes[0]).toContain(BOX);
  });
});

describe('how sure it is', () => {
  it('is not excluded where the kernel asked nobody, and says the mend', () => {
    expect(hearing(heard()).sighting).toMatchObject({
      duplicateCheck: 'not-excluded',
      duplicateCheckReason: expect.stringMatching(/asked nobody.*M$/),
    });
  });

  it('counts the questions heard where nobody claims', () => {
    expect(hearing(QUESTION, QUESTION).sighting).toEqual({
      outcome: 'unclaimed',
      methods: ['capture'],
      asked: 2,
    });
  });
});
