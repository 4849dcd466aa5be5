import { describe, expect, it } from 'vitest';
import { fromAsBefore } from '../../src/cli/from-options.js';

const PRESS = 'ssh://root@192.0.2.21';

describe('where a run that is gone on with looks from', () => {
  it('is where it looked from before', () => {
    const before = { from: [PRESS], onlyFrom: undefined };
    expect(fromAsBefore({}, before)).toEqual({ from: [PRESS] });
    expect(fromAsBefore({}, { ...before, onlyFrom: true })).toEqual({ from: [PRESS], onlyFrom: true });
    // The plan may have named places since, or --no-from left them out then.
    expect(fromAsBefore({}, { ...before, from: [] })).toEqual({ from: false });
  });

  it('is what is given anew, and the plan decides where an old journal does not say it', () => {
    const before = { from: [PRESS], onlyFrom: undefined };
    expect(fromAsBefore({ from: false }, before)).toEqual({ from: false });
    expect(fromAsBefore({ from: ['press-2'] }, before)).toEqual({ from: ['press-2'] });
    expect(fromAsBefore({}, { from: undefined, onlyFrom: undefined })).toEqual({});
    expect(fromAsBefore({}, undefined)).toEqual({});
  });
});
