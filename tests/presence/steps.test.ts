import { describe, expect, it } from 'vitest';
import { type AddressRecord, addClaim, newRecord } from '../../src/presence/record.js';
import {
  isHeard,
  isOver,
  type MeansNow,
  needsArping,
  needsClearing,
  needsConfirming,
  needsQuestion,
} from '../../src/presence/steps.js';

const MAC = '00:00:5e:00:53:0c';

function view(nowMs: number, more: Partial<MeansNow> = {}): MeansNow {
  return {
    canClear: false,
    tableReadable: true,
    tableShowsQuestions: true,
    arping: undefined,
    ping: true,
    patienceMs: 3200,
    neighbourKeptMs: 45_000,
    captured: () => false,
    nowMs,
    ...more,
  };
}

/** Opened and asked at 0 ms. */
function asked(more: Partial<AddressRecord> = {}): AddressRecord {
  return Object.assign(
    newRecord('192.0.2.45', 'eth0'),
    { openedAtMs: 0, questionMs: 0, lastSentMs: 0, sent: 1, asked: 1 },
    more,
  );
}

function claimed(more: Partial<AddressRecord> = {}): AddressRecord {
  const record = asked(more);
  addClaim(record, { mac: MAC, method: 'neighbour-table' });
  return record;
}

const OLD = { row: { address: '192.0.2.45', mac: MAC, state: 'stale' }, atMs: -10 } as const;

describe('a question', () => {
  it('is put at once, and where rows can be cleared again and again while the address is silent', () => {
    expect(needsQuestion(asked({ sent: 0 }), view(0))).toBe(true);
    const clearing = { canClear: true };
    expect(needsQuestion(asked(), view(100, clearing))).toBe(false);
    expect(needsQuestion(asked(), view(360, clearing))).toBe(true);
    expect(needsQuestion(asked({ sent: 4 }), view(2500, clearing))).toBe(true);
    expect(needsQuestion(asked({ sent: 5 }), view(3000, clearing))).toBe(false);
  });

  it('waits for the answer to the one before, where the system alone asks: what is queued for it would be thrown away', () => {
    const bare = { canClear: true, bare: true, captured: () => true };
    const record = claimed({ sent: 2, heardQuestions: 2 });
    addClaim(record, { mac: MAC, method: 'capture' });
    expect(needsQuestion(record, view(950, bare))).toBe(false);
    addClaim(record, { mac: MAC, method: 'capture' });
    expect(needsQuestion(record, view(950, bare))).toBe(true);
  });

  it('is put three times to a claimed address, since two devices may take turns', () => {
    const clearing = { canClear: true };
    expect(needsQuestion(claimed({ sent: 2 }), view(950, clearing))).toBe(true);
    expect(needsQuestion(claimed({ sent: 3 }), view(2000, clearing))).toBe(false);
  });

  it('is left to the system where many are asked and more is sent there, and put where nothing more is', () => {
    const many = { canClear: true, many: true, captured: () => true };
    const heard = { heardQuestions: 1, heardQuestionMs: 10 };
    expect(needsQuestion(claimed(heard), view(500, many))).toBe(false);
    expect(needsClearing(claimed(heard), view(500, many))).toBe(true);
    // Not for ever: perhaps nothing else is sent there.
    expect(needsQuestion(claimed(heard), view(810, many))).toBe(true);
    expect(needsQuestion(claimed({ ...heard, finished: true }), view(500, many))).toBe(true);
    // Of few, and where no capture tells that the system asked, each question is ours.
    expect(needsClearing(claimed(heard), view(500, { ...many, many: false }))).toBe(false);
    expect(needsClearing(claimed(heard), view(500, { ...many, captured: () => false }))).toBe(false);
    const enough = claimed({ heardQuestions: 3, heardQuestionMs: 10 });
    expect(needsQuestion(enough, view(5000, many))).toBe(false);
    expect(needsClearing(enough, view(5000, many))).toBe(false);
  });

  it('waits, without rights, for the kernel to give up, and is then put once more', () => {
    const failed = { address: '192.0.2.45', state: 'failed' } as const;
    expect(needsQuestion(asked(), view(2000))).toBe(false);
    expect(needsQuestion(asked({ row: failed }), view(3050))).toBe(true);
    expect(needsQuestion(asked({ row: failed }), view(100))).toBe(false);
  });

  it('is never put for the own address', () => {
    const own = newRecord('192.0.2.5', 'eth0', '00:00:5e:00:53:05');
    expect(needsQuestion(own, view(0))).toBe(false);
  });
});

describe('settled', () => {
  it('is a silent address after its patience, not before', () => {
    expect(isOver(asked(), view(3199))).toBe(false);
    expect(isOver(asked(), view(3200))).toBe(true);
  });

  it('is a claimed one at once where the table is all there is', () => {
    expect(isOver(claimed(), view(200))).toBe(true);
  });

  it('is a captured one once a late second answer would have come', () => {
    const captured = { captured: () => true };
    const record = claimed({ heardQuestions: 1, heardQuestionMs: 50 });
    expect(isOver(record, view(900, captured))).toBe(false);
    expect(isOver(record, view(950, captured))).toBe(true);
  });

  it('is one that nobody could be asked about once no other finds room in the table either', () => {
    const unasked = { openedAtMs: 0, questionMs: undefined, sent: 1, lastSentMs: 0 };
    expect(isOver(asked(unasked), view(6100, { roomMs: 5000 }))).toBe(false);
    const record = asked(unasked);
    expect(isOver(record, view(11_100, { roomMs: 5000 }))).toBe(true);
    expect(record.refusal?.cause).toBe('no-room');
  });

  it('needs no look at the table where a capture heard its question, or may still', () => {
    const captured = { captured: () => true };
    expect(isHeard(claimed({ heardQuestions: 1 }), view(5000, captured))).toBe(true);
    expect(isHeard(asked(), view(100, captured))).toBe(true);
    expect(isHeard(asked(), view(200, captured))).toBe(false);
    expect(isHeard(claimed({ heardQuestions: 1 }), view(0))).toBe(false);
  });

  it('waits for a program at work', () => {
    expect(isOver(claimed({ busy: 1 }), view(60_000))).toBe(false);
  });

  it('leaves a row from before until the kernel gives it up, and is then not known', () => {
    const record = asked({ before: OLD, row: OLD.row });
    expect(isOver(record, view(5000))).toBe(false);
    expect(isOver(record, view(8600))).toBe(true);
    expect(record.refusal?.reason).toContain(MAC);
    const dead = asked({ before: OLD, row: { address: '192.0.2.45', state: 'failed' } });
    expect(isOver(dead, view(8100))).toBe(true);
    expect(dead.refusal).toBeUndefined();
  });

  it('is not known where nothing can show an answer', () => {
    const record = asked();
    expect(isOver(record, view(100, { tableReadable: false }))).toBe(true);
    expect(record.refusal?.reason).toContain('neighbour table');
  });

  // Linux swallows a datagram in silence where its neighbour table is full (udp_send_skb turns ENOBUFS into success).
  it('is not called silent where the kernel had no room to ask: it is tried again, and then not known', () => {
    const record = asked({ questionMs: undefined, sent: 1 });
    expect(needsQuestion(record, view(100))).toBe(false);
    expect(needsQuestion(record, view(300))).toBe(true);
    expect(isOver(record, view(5000))).toBe(false);
    expect(isOver(record, view(6000))).toBe(true);
    expect(record.refusal?.reason).toContain('full');
    // ICMP and TCP went the same way: the judge must not take their silence for the device's.
    expect(record.refusal?.unasked).toBe(true);
  });

  it('counts the patience from the moment somebody was really asked', () => {
    const record = asked({ questionMs: 5000 });
    expect(isOver(record, view(8000))).toBe(false);
    expect(isOver(record, view(8200))).toBe(true);
  });

  it('does not wait for rows where the table shows only answers (Windows)', () => {
    const record = asked({ questionMs: undefined });
    const windows = { tableShowsQuestions: false };
    expect(needsQuestion(record, view(400, windows))).toBe(false);
    expect(isOver(record, view(3200, windows))).toBe(true);
  });
});

describe('arping', () => {
  const able = { arping: 'iputils', silent: 10 } as const;

  it('asks for the claimed where no capture does, once', () => {
    const record = claimed();
    expect(needsArping(record, { ...view(100, able), silent: 10 })).toBe(true);
    record.begun.add('arping');
    expect(needsArping(record, { ...view(100, able), silent: 10 })).toBe(false);
  });

  it('is left out where a capture sees every answer to questions that can be repeated', () => {
    const more = { ...able, captured: () => true, canClear: true };
    expect(needsArping(claimed(), { ...view(100, more), silent: 10 })).toBe(false);
  });

  it('asks for a row from before, captured or not', () => {
    const record = asked({ before: OLD, row: OLD.row });
    expect(needsArping(record, { ...view(100, { ...able, captured: () => true }), silent: 1 })).toBe(true);
    expect(needsConfirming(record)).toBe(true);
  });

  it('asks for silent ones only where they are few', () => {
    expect(needsArping(asked(), { ...view(400, able), silent: 10 })).toBe(true);
    expect(needsArping(asked(), { ...view(400, able), silent: 200 })).toBe(false);
  });
});

describe('questions that do not leave', () => {
  const at = (nowMs: number, needed?: number) => ({
    canClear: true,
    tableReadable: true,
    tableShowsQuestions: true,
    arping: undefined,
    ping: true,
    patienceMs: 3200,
    neighbourKeptMs: 45_000,
    captured: () => false,
    nowMs,
    ...(needed === undefined ? {} : { needed }),
  });

  it('are tried again while the port is away, and then it was the laptop', () => {
    const record = newRecord('192.0.2.20', 'eth0');
    record.openedAtMs = 0;
    record.kept = { why: 'away', sinceMs: 0 };
    expect(needsQuestion(record, at(3000))).toBe(true);
    expect(isOver(record, at(3000))).toBe(false);
    expect(isOver(record, at(7000))).toBe(true);
    expect(record.refusal).toMatchObject({ cause: 'interface-down', unasked: true });
  });

  it.each(['away', 'full'] as const)(
    'do not hold the run for ever where more of them are needed (%s)',
    (why) => {
      const record = newRecord('192.0.2.20', 'eth0');
      Object.assign(record, { openedAtMs: 0, sent: 2, asked: 2, questionMs: 10, lastSentMs: 400 });
      record.kept = { why, sinceMs: 700 };
      expect(isOver(record, at(5000, 5))).toBe(false);
      expect(isOver(record, at(7000, 5))).toBe(true);
      expect(record.refusal?.cause).toBe(why === 'away' ? 'interface-down' : 'no-room');
    },
  );
});
