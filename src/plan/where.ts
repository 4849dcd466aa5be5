import { cleanText } from '../text/clean.js';
import type { SourceRef } from './model.js';

const NAME_LIMIT = 120;

/** `address-list.csv row 7 column address`, `list.xlsx sheet Addresses row 7`, `plan.yaml line 12 at networks[0].cidr`. */
export function formatWhere(at: SourceRef): string {
  const name = (text: string) => cleanText(text, NAME_LIMIT);
  const parts = [name(at.file)];
  if (at.sheet !== undefined) parts.push(`sheet ${name(at.sheet)}`);
  if (at.row !== undefined) parts.push(`row ${at.row}`);
  else if (at.line !== undefined) parts.push(`line ${at.line}`);
  if (at.column !== undefined) parts.push(`${at.row === undefined ? 'at' : 'column'} ${name(at.column)}`);
  return parts.join(' ');
}
