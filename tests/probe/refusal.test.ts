import { describe, expect, it } from 'vitest';
import { closeCause, errorCode, refusalOf } from '../../src/probe/refusal.js';

const error = (code: unknown) => Object.assign(new Error('connect 192.0.2.1 with a secret in it'), { code });

describe('refusalOf', () => {
  it.each([
    // connect(2) and tcp(7) of Linux man-pages, from memory; RST: RFC 9293 §3.10.7.1.
    ['ECONNREFUSED', 'refused'],
    ['ECONNRESET', 'refused'],
    ['ETIMEDOUT', 'no-reply'],
    ['EHOSTUNREACH', 'unreachable'],
    ['ENETUNREACH', 'unreachable'],
    ['EHOSTDOWN', 'no-reply'],
    // These say something about the laptop only.
    ['EACCES', 'not-run'],
    ['EPERM', 'not-run'],
    ['EADDRNOTAVAIL', 'not-run'],
    ['EMFILE', 'not-run'],
    // ip-route(8), from memory: a black-hole route; and a link-local address without its port.
    ['EINVAL', 'not-run'],
    ['ESOMETHINGNEW', 'not-run'],
  ])('%s is %s', (code, outcome) => {
    expect(refusalOf(error(code)).outcome).toBe(outcome);
  });

  it.each(['EMFILE', 'ENFILE', 'ENOBUFS', 'ENOMEM'])('%s can be asked again', (code) => {
    expect(refusalOf(error(code))).toMatchObject({ outcome: 'not-run', cause: 'laptop-full' });
  });

  it('never passes a message on', () => {
    for (const thrown of [error('EWEIRD'), error(7), error('not a code'), 'text', undefined, null]) {
      expect(JSON.stringify(refusalOf(thrown))).not.toContain('secret');
    }
  });

  it('reads codes and nothing else', () => {
    expect(errorCode(error('EPIPE'))).toBe('EPIPE');
    expect(errorCode(error('a b'))).toBe('');
  });

  it('tells a reset from an orderly close', () => {
    expect(closeCause(Object.assign(error('ECONNRESET'), { errno: -104 }))).toBe('reset');
    expect(closeCause(error('ECONNRESET'))).toBe('closed-without-answer');
    expect(closeCause(undefined)).toBe('closed-without-answer');
  });
});
