import { describe, expect, it } from 'vitest';
import {
  arpingArguments,
  arpingProbeArguments,
  flavourOfArping,
  parseArpingOutput,
} from '../../src/presence/arping-output.js';

// Printed by iputils 20221126, busybox 1.35.0 and arping 2.23 on Debian 12, MAC addresses replaced.
const IPUTILS = `ARPING 192.0.2.45 from 192.0.2.5 eth0
Unicast reply from 192.0.2.45 [00:00:5E:00:53:0C]  0.567ms
Unicast reply from 192.0.2.45 [00:00:5E:00:53:0B]  703.549ms
Sent 2 probes (2 broadcast(s))
Received 2 response(s)
`;
const BUSYBOX = `ARPING 192.0.2.45 from 192.0.2.5 eth0
Unicast reply from 192.0.2.45 [00:00:5e:00:53:0c] 0.008ms
Sent 2 probe(s) (0 broadcast(s))
Received 2 response(s) (0 request(s), 0 broadcast(s))
`;
const THIRD = `ARPING 192.0.2.45
42 bytes from 00:00:5e:00:53:0c (192.0.2.45): index=0 time=8.543 usec
42 bytes from 00:00:5e:00:53:0b (192.0.2.45): index=1 time=6.820 msec

--- 192.0.2.45 statistics ---
2 packets transmitted, 2 packets received,   0% unanswered (0 extra)
`;

describe('answers', () => {
  it('are all listed, in order, with their delays', () => {
    expect(parseArpingOutput(IPUTILS, '192.0.2.45')).toEqual([
      { mac: '00:00:5e:00:53:0c', afterMs: 0.567 },
      { mac: '00:00:5e:00:53:0b', afterMs: 703.549 },
    ]);
    expect(parseArpingOutput(BUSYBOX, '192.0.2.45')).toEqual([{ mac: '00:00:5e:00:53:0c', afterMs: 0.008 }]);
    const [first, second] = parseArpingOutput(THIRD, '192.0.2.45');
    expect(first?.mac).toBe('00:00:5e:00:53:0c');
    expect(first?.afterMs).toBeCloseTo(0.008543, 9);
    expect(second).toEqual({ mac: '00:00:5e:00:53:0b', afterMs: 6.82 });
  });

  it('are none of another address, and none in a time-out', () => {
    expect(parseArpingOutput(IPUTILS, '192.0.2.4')).toEqual([]);
    expect(parseArpingOutput('ARPING 192.0.2.46\nTimeout\n', '192.0.2.46')).toEqual([]);
  });

  it('are told in milliseconds whatever else a line has', () => {
    const text =
      'Broadcast reply from 192.0.2.45 [00:00:5E:00:53:0C]  1.5ms\nUnicast reply from 192.0.2.45 [zz]  1ms';
    expect(parseArpingOutput(text, '192.0.2.45')).toEqual([{ mac: '00:00:5e:00:53:0c', afterMs: 1.5 }]);
  });
});

describe('arguments', () => {
  // iputils arping(8): with a deadline, -c counts answers, so that two answers to one question would end it.
  it('ask everybody and never stop at a count of answers', () => {
    expect(arpingArguments('iputils', 'eth0', '192.0.2.45', 2)).toEqual([
      '-b',
      '-w',
      '2',
      '-I',
      'eth0',
      '192.0.2.45',
    ]);
    expect(arpingArguments('busybox', 'eth0', '192.0.2.45', 2)).not.toContain('-c');
    expect(arpingArguments('common', 'eth0', '192.0.2.45', 2)).toEqual([
      '-c',
      '2',
      '-i',
      'eth0',
      '192.0.2.45',
    ]);
  });

  // RFC 5227 §2.1.1: the sender address of a probe is all zeros.
  it('probe for the own address with sender 0.0.0.0', () => {
    expect(arpingProbeArguments('iputils', 'eth0', '192.0.2.5')).toContain('-D');
    expect(arpingProbeArguments('common', 'eth0', '192.0.2.5')).toContain('-0');
  });
});

it('knows the three programs by what they say of themselves', () => {
  expect(flavourOfArping('arping from iputils 20221126')).toBe('iputils');
  expect(flavourOfArping('BusyBox v1.35.0 (Debian 1:1.35.0-4) multi-call binary.')).toBe('busybox');
  expect(flavourOfArping('ARPing 2.23, by somebody\nusage: arping')).toBe('common');
  expect(flavourOfArping('arping: unknown option')).toBeUndefined();
});
