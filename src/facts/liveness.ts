/**
 * What a path through an endpoint is worth, as a view of its facts. It counts as live when its planned services answer (of a management
 * port: when any of them does) and the device is the right one; with no service planned, when the planned MAC claims it; slow, small MTU
 * or a wrong switch port leave it live (DESIGN 6).
 */
import type { Endpoint } from '../plan/model.js';
import type { Fact } from './fact.js';
import type { Liveness } from './situation.js';

export function livenessOf({ role, address }: Endpoint, facts: readonly Fact[]): Liveness {
  const services = facts.filter(({ fact }) => fact === 'service');
  const others = facts.filter(({ fact }) => fact !== 'service');
  const ended = others.find(({ path }) => path === 'ends');
  if (ended !== undefined) return { state: 'dead', why: ended.reason };
  const open = others.find(({ path }) => path === 'open');
  if (open !== undefined) return { state: 'unproven', why: open.reason };
  if (address === undefined) {
    const link = others.filter(({ fact }) => fact === 'link' || fact === 'light' || fact === 'switch-port');
    return link.some(({ state }) => state === 'matches' || state === 'differs')
      ? { state: 'live' }
      : { state: 'unproven', why: link[0]?.reason };
  }
  const proven = services.some(({ state }) => state === 'matches');
  if (role === 'management' && proven) return { state: 'live' };
  const dead = services.find(({ path }) => path === 'ends');
  if (dead !== undefined) return { state: 'dead', why: dead.reason };
  const waiting = services.find(({ path }) => path === 'open');
  if (waiting !== undefined) return { state: 'unproven', why: waiting.reason };
  return { state: 'live' };
}
