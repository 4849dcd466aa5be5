import { describe, expect, it } from 'vitest';
import { openBareQuestions } from '../../src/presence/bare-questions.js';
import { newRecord } from '../../src/presence/record.js';
import { aSystem, fakePrograms } from '../system/fakes.js';

/** An `ip` that is told lines, and ends when the test says so. */
function anIp() {
  const told: string[] = [];
  let end = (): void => {};
  const ended = new Promise<number>((resolve) => {
    end = () => resolve(255);
  });
  const stream = {
    stdout: (async function* nothing() {})(),
    stderr: () => '',
    ended,
    stop: () => end(),
    write: (text: string) => void told.push(...text.trimEnd().split('\n')),
  };
  const programs = fakePrograms({}, { ip: () => stream });
  return { programs, system: aSystem(programs), told, end: () => end() };
}

const record = (address: string) => Object.assign(newRecord(address, 'eth0'), { sent: 1, asked: 1 });

describe('questions without a datagram', () => {
  it('make the kernel forget and ask, a port at a time, and leave IPv6 to datagrams', () => {
    const { system, programs, told } = anIp();
    const bare = openBareQuestions(system, true);
    const [four, six] = [record('192.0.2.45'), record('2001:db8::45')];
    expect([bare.fits([four]), bare.fits([four, six])]).toEqual([true, false]);
    expect(bare.ask([four, six])).toEqual([six]);
    expect(programs.calls).toEqual(['start ip -batch -']);
    expect(told).toEqual([
      'neigh replace 192.0.2.45 dev eth0 nud failed',
      'neigh replace 192.0.2.45 dev eth0 nud none use',
    ]);
    bare.giveUp(six);
    bare.giveUp(four);
    expect(told.slice(2)).toEqual(['neigh replace 192.0.2.45 dev eth0 nud failed']);
  });

  it('count as not put where the program ended before the system showed them', async () => {
    const { system, end, told } = anIp();
    const bare = openBareQuestions(system, true);
    const [shown, unknown] = [record('192.0.2.45'), record('192.0.2.46')];
    bare.ask([shown, unknown]);
    shown.questionMs = 5;
    end();
    await new Promise(setImmediate);
    expect([shown.sent, unknown.sent, bare.able()]).toEqual([1, 0, false]);
    expect(bare.ask([unknown])).toEqual([unknown]);
    expect(told).toHaveLength(4);
  });

  it.each([
    ['without the right to clear rows', false, anIp().system],
    ['where ip cannot be started', true, aSystem(fakePrograms({}))],
    ['in a system that cannot', true, aSystem(fakePrograms({}), { platform: 'darwin' })],
  ])('are none %s', (_, mayClear, system) => {
    const bare = openBareQuestions(system, mayClear);
    const one = record('192.0.2.45');
    expect([bare.able(), bare.ask([one])]).toEqual([false, [one]]);
    bare.close();
  });
});
