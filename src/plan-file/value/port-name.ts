/** Names of ports, which spreadsheets take for dates: `1/12` becomes `12-Jan` in a CSV that was opened and saved (common practice, no source). */
import { type Reading, read, twoMeanings } from '../reading.js';

const MONTH =
  'jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec|mai|mrz|m\u00e4r|okt|dez|maj|ene|abr|ago|dic|f\u00e9v|avr|juin|juil|ao\u00fbt|d\u00e9c';
const AS_SHOWN = new RegExp(
  String.raw`^(?:\d{1,2}[-. /]{1,2}(?:${MONTH})\.?(?:[-. /]\d{2,4})?|(?:${MONTH})-\d{2})$`,
  'i',
);
/** With the year of four digits that no port has: `01.12.2026`, `2026-12-01`. */
const WITH_YEAR = /^(?:\d{1,2}[./-]\d{1,2}[./-](?:19|20)\d\d|(?:19|20)\d\d-\d\d-\d\d)$/;

export function readPortName(text: string): Reading<string> {
  return AS_SHOWN.test(text) || WITH_YEAR.test(text)
    ? twoMeanings(
        'a port name: a spreadsheet makes a date of one like 1/12, so set the column to text and type it again',
      )
    : read(text);
}
