/** Plan issues as sentences, one line each. */
import type { PlanIssue } from '../plan/issue.js';
import type { SourceRef } from '../plan/model.js';
import { cleanText } from '../text/clean.js';
import type { IssueCode } from './issues.js';

export { formatWhere } from '../plan/where.js';

const LINE_LIMIT = 600;
const NAME_LIMIT = 120;

/** `address-list.csv, row 7, column "address": found "192.0.2.300", expected an IPv4 or IPv6 address`. */
export function describeIssue(issue: PlanIssue): string {
  const words = WORDING[issue.code as IssueCode];
  const sentence = words === undefined ? found(issue) : words(issue);
  const hint = issue.nearest === undefined ? '' : `; did you mean ${quoted(issue.nearest)}?`;
  return cleanText(`${place(issue.at)}: ${sentence}${hint}`, LINE_LIMIT);
}

function place(at: SourceRef): string {
  const parts = [cleanText(at.file, NAME_LIMIT)];
  if (at.sheet !== undefined) parts.push(`sheet ${quoted(at.sheet)}`);
  if (at.row !== undefined) parts.push(`row ${at.row}`);
  else if (at.line !== undefined) parts.push(`line ${at.line}`);
  if (at.column !== undefined)
    parts.push(at.row === undefined ? cleanText(at.column, NAME_LIMIT) : `column ${quoted(at.column)}`);
  return parts.join(', ');
}

function quoted(text: string): string {
  return `"${cleanText(text, NAME_LIMIT)}"`;
}

function found(issue: PlanIssue): string {
  const got = issue.found === undefined ? '' : `found ${quoted(issue.found)}`;
  const want = issue.expected === undefined ? '' : `expected ${issue.expected}`;
  return [got, want].filter((part) => part !== '').join(', ') || 'not understood';
}

const name = (issue: PlanIssue) => (issue.found === undefined ? '' : ` ${quoted(issue.found)}`);
const because = (issue: PlanIssue) => (issue.expected === undefined ? '' : `: ${issue.expected}`);
const known = (issue: PlanIssue) => (issue.expected === undefined ? '' : ` (${issue.expected})`);

export const WORDING: Readonly<Record<IssueCode, (issue: PlanIssue) => string>> = {
  'file-missing': (issue) => `there is no file${name(issue)}`,
  'file-unreadable': (issue) => `the file${name(issue)} cannot be read${because(issue)}`,
  'is-directory': () => 'this is a folder, expected a plan (YAML, JSON) or an address list (CSV, XLSX)',
  'not-a-file': () =>
    'this is not a regular file, expected a plan (YAML, JSON) or an address list (CSV, XLSX)',
  'file-too-large': (issue) =>
    `the file is too large to be a plan: found ${issue.found}, expected ${issue.expected}`,
  'empty-file': () => 'the file is empty, expected a plan (YAML, JSON) or an address list (CSV, XLSX)',
  'binary-file': () =>
    'the file holds binary data, expected a plan (YAML, JSON) or an address list (CSV, XLSX)',
  'old-workbook': () => 'this is a workbook of the old binary kind (.xls); save it as .xlsx or .csv',
  'damaged-workbook': (issue) => `the file is not a readable .xlsx workbook${because(issue)}`,
  'workbook-too-large': (issue) =>
    `the workbook unpacks too large: found ${issue.found}, expected ${issue.expected}`,
  'read-as-windows-1252': () => 'the text is not UTF-8; it was read as Windows-1252',
  'csv-syntax': (issue) => `the CSV cannot be read on from here${because(issue)}`,
  'yaml-syntax': (issue) => `the text is not well-formed${because(issue)}`,
  'several-documents': () => 'the file holds several YAML documents, expected one',
  'duplicate-key': (issue) => `the key${name(issue)} stands here twice, expected once`,
  'too-many-aliases': () =>
    'the YAML aliases expand without reasonable bound, expected a plan that is written out',
  'nested-too-deep': () => 'the values are nested too deeply to be a plan',
  'no-header': (issue) => `no header row found, expected one with the columns ${issue.expected}`,
  'missing-column': (issue) =>
    `the header lacks the column ${quoted(issue.expected ?? '')}${issue.found === undefined ? '' : `; is it the one called ${quoted(issue.found)}?`}`,
  'duplicate-column': (issue) => `the header has the column${name(issue)} twice (${issue.expected})`,
  'unknown-column': (issue) => `unknown column${name(issue)}, kept as a note`,
  'one-name': (issue) =>
    `${quoted(issue.found ?? '')} was read as one name; for several write ${quoted(issue.expected ?? '')}`,
  'secret-left-out': (issue) =>
    `${quoted(issue.found ?? '')} looks like the place of a secret: what stands there was left out; a plan names secrets under snmp as env:NAME or file:PATH`,
  'several-sheets': (issue) => `several sheets look like an address list${because(issue)}; keep one`,
  'no-rows': () => 'no usable row: expected at least one endpoint with a device and a port',
  'too-many-rows': (issue) => `too many rows: found ${issue.found}, expected ${issue.expected}`,
  'too-many-columns': (issue) =>
    `the row has more columns than any list: found ${issue.found}, expected ${issue.expected}`,
  'too-many-cells': (issue) => `the row is wider than the header: found${name(issue)} under no column`,
  'date-in-cell': (issue) =>
    `the cell holds a date (${issue.found}), which the spreadsheet made of what was typed; set the column to text and type it again`,
  'formula-error': (issue) => `the cell holds a formula error (${issue.found}), expected a value`,
  // In a workbook the value of merged cells stands in the first of them alone (from memory of ECMA-376).
  'missing-value': (issue) =>
    `nothing here, expected ${issue.expected}${issue.at.sheet === undefined ? '' : ' (of merged cells only the first holds the value: write it in each row)'}`,
  'bad-value': found,
  'two-meanings': (issue) => `${quoted(issue.found ?? '')} has two meanings, expected ${issue.expected}`,
  'unknown-key': (issue) => `unknown key${name(issue)}${known(issue)}`,
  'wrong-shape': found,
  'duplicate-name': (issue) => `the name${name(issue)} is taken already (${issue.expected})`,
  'duplicate-endpoint': (issue) =>
    `the endpoint${name(issue)} stands twice in the plan (first in ${issue.expected})`,
  'unknown-network': (issue) => `the plan has no network${name(issue)}${known(issue)}`,
  'unknown-credential': (issue) => `the plan has no such credential under snmp${name(issue)}${known(issue)}`,
  'unknown-group': (issue) => `the plan has no group${name(issue)}${known(issue)}`,
  'unknown-device': (issue) => `the plan has no device${name(issue)}${known(issue)}`,
  'unknown-controller': (issue) => `the device has no endpoint on controller${name(issue)}${known(issue)}`,
  'half-a-path': (issue) => `a group has both "from" and "to" or neither, ${issue.expected} is missing`,
  'address-open': (issue) =>
    `no address yet for ${issue.expected}; it cannot be asked, only seen by SNMP, by the switches or by eye`,
  'device-not-listed': (issue) => `the device${name(issue)} stands in no list of devices`,
  'network-host-bits': (issue) => `${quoted(issue.found ?? '')} was read as the network ${issue.expected}`,
  'network-without-prefix': (issue) =>
    `nothing says how large the network${name(issue)} is; write one of its addresses with a prefix, as ${issue.expected}`,
  'iscsi-is-860': () =>
    'the IANA name "iscsi" is port 860; arrays listen on 3260, whose name is "iscsi-target"',
};
