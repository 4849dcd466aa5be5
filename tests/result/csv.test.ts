import { parse } from 'csv-parse/sync';
import { describe, expect, test } from 'vitest';
import { renderCsv, renderEquipmentCsv, renderFindingsCsv } from '../../src/result/csv.js';
import { aFinding } from '../support/matrix.js';
import { sampleMatrix } from '../support/sample-matrix.js';

const matrix = sampleMatrix(['bench', 'loft']);

describe('CSV', () => {
  test('lines end with CRLF and every row has the same number of fields (RFC 4180 §2)', () => {
    for (const text of [renderCsv(matrix), renderFindingsCsv(matrix), renderEquipmentCsv(matrix)]) {
      expect(text.endsWith('\r\n')).toBe(true);
      expect(text.replaceAll('\r\n', '')).not.toMatch(/[\r\n]/);
      const rows = parse(text, { relax_column_count: true }) as string[][];
      expect(new Set(rows.map((row) => row.length)).size).toBe(1);
    }
  });

  test('quotes, commas and line breaks come back as they were, breaks as blanks (csv-parse 7 on the same bytes)', () => {
    const said = 'a "quoted", b\r\nc';
    const rows = parse(
      renderFindingsCsv({ ...matrix, findings: [aFinding('stranger', 'note', said, 'm')] }),
    ) as string[][];
    expect(rows[1]?.[4]).toBe('a "quoted", b c');
  });

  test.each(['=1+1', '+1', '-1', '@SUM(A1)', '\t=1', '\r=1', ' =1', '＝1', '\u00a0=1'])(
    'a text that a spreadsheet would run stays text: %j (OWASP, CSV Injection)',
    (said) => {
      const rows = parse(
        renderFindingsCsv({ ...matrix, findings: [aFinding('stranger', 'note', said, said)] }),
      ) as string[][];
      for (const cell of rows[1] ?? []) expect(cell).not.toMatch(/^[\s]*[=+\-@＝＋－＠]/);
      expect(rows[1]?.[4]?.startsWith("'")).toBe(true);
    },
  );

  test('one row an endpoint, one column a fact, in words, with the jobs about it and about its group', () => {
    const rows = parse(renderCsv(matrix), { columns: true }) as Record<string, string>[];
    expect(rows).toHaveLength(matrix.endpoints.length);
    const second = rows[1] ?? {};
    expect(second.endpoint).toBe('vault-1/B/mgmt');
    expect(second.verdict).toBe('differs');
    expect(second['on the link']).toBe('differs: two devices');
    expect(second.jobs).toBe('1');
    expect(second['looked from']).toBe('bench');
    const inGroup = rows.find(({ endpoint }) => endpoint === 'vault-1/A/data0');
    expect([inGroup?.jobs, inGroup?.['jobs of its group']]).toEqual(['', '5']);
  });

  test('the equipment has a row a controller, with what the right device said of itself', () => {
    const rows = parse(renderEquipmentCsv(matrix), { columns: true }) as Record<string, string>[];
    expect(
      rows.map(({ device, controller }) => `${device}${controller === '' ? '' : `/${controller}`}`),
    ).toEqual(['vault-1/A', 'vault-1/B', 'loft-switch', 'cellar-switch', 'press-1', 'press-2']);
    expect(rows[0]).toMatchObject({ rack: 'R3', units: '11-13', 'serial numbers': 'V1-0001' });
    expect(rows[0]?.addresses).toBe('192.0.2.11 198.51.100.11');
  });
});
