import { describe, expect, it } from 'vitest';
import { DEFAULT_PATIENCES } from '../../src/run/patience.js';
import { patiencesOn } from '../../src/run/system-patience.js';
import { LINUX_TIMINGS } from '../../src/system/linux/linux.js';
import { MACOS_TIMINGS } from '../../src/system/macos/macos.js';
import { WINDOWS_TIMINGS } from '../../src/system/windows/windows.js';

describe('patience', () => {
  it('is as it was where the system tells at once', () => {
    expect(patiencesOn(LINUX_TIMINGS)).toEqual(DEFAULT_PATIENCES);
    expect(patiencesOn(MACOS_TIMINGS)).toEqual(DEFAULT_PATIENCES);
  });

  // Two seconds: "slow TCP connect on Windows", daniel.haxx.se, 2024-08-14; Microsoft's article 175523 says why.
  it('outlasts a refusal on Windows, however few tries there are', () => {
    expect(patiencesOn(WINDOWS_TIMINGS).connect.lastMs).toBeGreaterThan(2000 + 300);
  });

  it('is short for an SNMP port that may be closed, where nobody would tell', () => {
    const { snmp } = patiencesOn(WINDOWS_TIMINGS);
    expect(snmp.timeoutMs * snmp.attempts).toBeLessThanOrEqual(4000);
  });
});
