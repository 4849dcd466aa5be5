/** The list in which every reader writes what it found wrong, so that all of it is said in one go. */
import type { PlanIssue } from '../plan/issue.js';
import type { SourceRef } from '../plan/model.js';
import { cleanText } from '../text/clean.js';

/** Longest quotation of what the user wrote, in characters. */
const FOUND_LIMIT = 60;

/** Every code that the readers use; src/plan-file/wording.ts has a sentence for each. */
export const ISSUE_CODES = [
  'file-missing',
  'file-unreadable',
  'is-directory',
  'not-a-file',
  'file-too-large',
  'empty-file',
  'binary-file',
  'old-workbook',
  'damaged-workbook',
  'workbook-too-large',
  'read-as-windows-1252',
  'csv-syntax',
  'yaml-syntax',
  'several-documents',
  'duplicate-key',
  'too-many-aliases',
  'nested-too-deep',
  'no-header',
  'missing-column',
  'duplicate-column',
  'unknown-column',
  'secret-left-out',
  'several-sheets',
  'no-rows',
  'too-many-rows',
  'too-many-columns',
  'too-many-cells',
  'date-in-cell',
  'formula-error',
  'missing-value',
  'bad-value',
  'two-meanings',
  'one-name',
  'unknown-key',
  'wrong-shape',
  'duplicate-name',
  'duplicate-endpoint',
  'unknown-network',
  'unknown-credential',
  'unknown-group',
  'unknown-device',
  'unknown-controller',
  'half-a-path',
  'address-open',
  'device-not-listed',
  'network-host-bits',
  'network-without-prefix',
  'iscsi-is-860',
] as const;

export type IssueCode = (typeof ISSUE_CODES)[number];

export interface IssueFacts {
  readonly found?: string | undefined;
  readonly expected?: string | undefined;
  readonly nearest?: string | undefined;
}

export class Issues {
  readonly #list: PlanIssue[] = [];

  error(code: IssueCode, at: SourceRef, facts: IssueFacts = {}): void {
    this.#list.push(makeIssue('error', code, at, facts));
  }

  note(code: IssueCode, at: SourceRef, facts: IssueFacts = {}): void {
    this.#list.push(makeIssue('note', code, at, facts));
  }

  get all(): readonly PlanIssue[] {
    return this.#list;
  }

  get hasErrors(): boolean {
    return this.#list.some((issue) => issue.level === 'error');
  }

  /** Errors first, each kind in the order of reading. */
  sorted(): PlanIssue[] {
    const rank = (issue: PlanIssue) => (issue.level === 'error' ? 0 : 1);
    return [...this.#list].sort((a, b) => rank(a) - rank(b));
  }
}

function makeIssue(
  level: PlanIssue['level'],
  code: IssueCode,
  at: SourceRef,
  { found, expected, nearest }: IssueFacts,
): PlanIssue {
  return {
    level,
    code,
    at,
    ...(found === undefined ? {} : { found: cleanText(found, FOUND_LIMIT) }),
    ...(expected === undefined ? {} : { expected }),
    ...(nearest === undefined ? {} : { nearest: cleanText(nearest, FOUND_LIMIT) }),
  };
}
