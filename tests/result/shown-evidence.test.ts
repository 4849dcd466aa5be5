import { describe, expect, it } from 'vitest';
import { evidenceLines, lineInRun, untimedLine } from '../../src/result/shown-evidence.js';
import { sayLine, toldLine } from '../../src/sighting/evidence-line.js';
import { renderFindings } from '../../src/terminal/findings.js';
import { T0 } from '../support/evidence.js';
import { aFinding } from '../support/matrix.js';
import { sampleMatrix } from '../support/sample-matrix.js';

const line = { who: 'bench', at: T0, text: '192.0.2.11 is at 00:00:5e:00:53:01' };
const style = { width: 200, colour: false, unicode: true };

describe('a line of evidence', () => {
  it('says who and when before what, as far as they are known', () => {
    expect(sayLine(line)).toBe(`bench, ${T0}: 192.0.2.11 is at 00:00:5e:00:53:01`);
    expect(sayLine({ ...line, text: '' })).toBe(`bench, ${T0}`);
    expect(sayLine('row 7')).toBe('row 7');
  });

  it('leaves the time out where the page has said it, and only that time', () => {
    expect(untimedLine(line)).toBe('bench: 192.0.2.11 is at 00:00:5e:00:53:01');
    const matrix = sampleMatrix();
    const [run] = matrix.evidence;
    expect(lineInRun({ ...line, at: run?.startedAt }, matrix)).toBe(untimedLine(line));
    expect(lineInRun({ ...line, at: '2020-01-01T00:00:00.000Z' }, matrix)).toContain('2020');
  });

  it('is left out on a terminal where the message has said it, whatever its words', () => {
    const finding = aFinding('wrong-device', 'fix', 'vault-1/A/mgmt', 'Another device answers.', {
      seen: [line, toldLine({ ...line, text: 'sysName is "x"' })],
    });
    const text = renderFindings([finding], style);
    expect(text).toContain('Seen: bench: 192.0.2.11');
    expect(text).not.toContain('sysName');
    expect(text).not.toContain(T0);
  });

  it('of a result of an older version is shown as it stands there', () => {
    const evidence = [`bench, ${T0}: no answer`];
    expect(evidenceLines(aFinding('no-echo', 'fix', 'a/b', 'm', { evidence }))).toEqual([
      { text: evidence[0] },
    ]);
  });
});
