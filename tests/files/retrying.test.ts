import { describe, expect, it } from 'vitest';
import { retrying, whatToClose } from '../../src/files/retrying.js';

const failure = (code: string): Error => Object.assign(new Error(code), { code });

/** Fails so often with this code, then works. */
function held(times: number, code: string) {
  let left = times;
  let calls = 0;
  return {
    calls: () => calls,
    work: async () => {
      calls += 1;
      if (left-- > 0) throw failure(code);
      return 'done';
    },
  };
}

describe('renaming a file that another program holds', () => {
  it.each(['EPERM', 'EACCES', 'EBUSY'])('is tried again while it may pass (%s)', async (code) => {
    const file = held(3, code);
    expect(await retrying(file.work, { pauseMs: 1 })).toBe('done');
    expect(file.calls()).toBe(4);
  });

  it('is given up in the end, with what the system said', async () => {
    const file = held(99, 'EBUSY');
    await expect(retrying(file.work, { tries: 5, pauseMs: 1 })).rejects.toMatchObject({ code: 'EBUSY' });
    expect(file.calls()).toBe(5);
  });

  it('is not tried again where it cannot pass', async () => {
    const file = held(99, 'ENOSPC');
    await expect(retrying(file.work, { pauseMs: 1 })).rejects.toMatchObject({ code: 'ENOSPC' });
    expect(file.calls()).toBe(1);
  });
});

describe('the word for people', () => {
  it('says which program to close on Windows', () => {
    expect(whatToClose(failure('EPERM'), 'D:\\run\\list.csv', 'win32')).toContain(
      'Close the spreadsheet program',
    );
    expect(whatToClose(failure('EBUSY'), 'D:\\run\\matrix.html', 'win32')).toContain(
      'the browser or the viewer',
    );
  });

  it.each([
    ['EPERM', 'linux'],
    ['ENOSPC', 'win32'],
  ])('says nothing of other failures (%s on %s)', (code, platform) => {
    expect(whatToClose(failure(code), 'matrix.html', platform)).toBeUndefined();
  });
});
