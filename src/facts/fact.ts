/**
 * A planned fact and what became of it: the one thing that matrix cells, differences, reasons, findings and a path's liveness are views of.
 * Each kind has a file of its name here that says what would settle it and how it is judged.
 */

import type { EndpointVerdict, FactResult, Finding } from '../matrix/matrix.js';
import type { EvidenceLine } from '../sighting/evidence-line.js';
import { cutText } from '../text/clean.js';
import type { AddressCause } from './address.js';
import type { BoxCause } from './box.js';
import type { EyesCause } from './by-eyes.js';
import type { CableCause } from './cable-causes.js';
import type { EchoCause } from './echo.js';
import type { PowerOnCause } from './power-on.js';
import type { ServiceCause } from './service.js';

export type FactKind = FactResult['fact'];

/** Why a fact is not as planned, or open: each kind names its own beside its judgement. */
export type FactCause =
  | AddressCause
  | BoxCause
  | CableCause
  | EchoCause
  | EyesCause
  | PowerOnCause
  | ServiceCause;

export interface Fact extends FactResult {
  /** The reason sentence by sentence. */
  readonly lines: readonly string[];
  /** Who saw what, and when: one line each, for the evidence of differences. */
  readonly evidence: readonly EvidenceLine[];
  /** What somebody has to know or do about it. A finding's words are its rule's. */
  readonly findings: readonly Finding[];
  /** What it means for a path through the endpoint. Absent: the path stays as the other facts have it. */
  readonly path?: 'ends' | 'open' | undefined;
  /** Of `vlan`: the numbers that the words are made of. */
  readonly vlans?: { readonly planned: number; readonly measured: readonly number[] } | undefined;
  /** One difference for each value that is not as planned, where the fact has several (a MAC and a serial number). */
  readonly parts?: readonly { readonly field: string; readonly planned: string; readonly measured: string }[];
}

/** What every fact of an endpoint begins with. */
export interface Stated {
  readonly fact: FactKind;
  readonly planned: string;
  readonly service?: string | undefined;
}

/** One sentence, or several. */
type Said = string | readonly string[];

interface More {
  readonly measured?: string | undefined;
  readonly vantage?: string | undefined;
  readonly by?: FactResult['by'] | undefined;
  readonly cause?: FactCause | undefined;
  readonly mend?: string | undefined;
  /** Commands that bring the laptop nearer: lines of the endpoint, no part of the reason. */
  readonly ways?: readonly string[] | undefined;
  readonly evidence?: readonly EvidenceLine[] | undefined;
  readonly findings?: readonly Finding[] | undefined;
  readonly path?: Fact['path'];
  readonly parts?: Fact['parts'];
  readonly vlans?: Fact['vlans'];
}

export function matching(stated: Stated, reason: Said, more: More = {}): Fact {
  return make(stated, 'matches', reason, { by: 'measured', ...more });
}

export function differing(stated: Stated, cause: FactCause, reason: Said, more: More = {}): Fact {
  return make(stated, 'differs', reason, { by: 'measured', ...more, cause });
}

export function absent(stated: Stated, cause: FactCause, reason: Said, more: More = {}): Fact {
  return make(stated, 'missing', reason, { by: 'measured', ...more, cause });
}

/** Nobody measured it: `cause` and `reason` say why, `mend` what would. */
export function open(stated: Stated, cause: FactCause, reason: Said, more: More = {}): Fact {
  return make(stated, 'unproven', reason, { ...more, cause });
}

/** Longest text of a fact, in characters, and lines of its evidence: what a device lists without end stands once, with its sighting. */
const TEXT_LIMIT = 1_000;
const EVIDENCE_LIMIT = 8;

function make(stated: Stated, state: EndpointVerdict, said: Said, more: More): Fact {
  const { fact, planned, service } = stated;
  const lines = (typeof said === 'string' ? [said] : said)
    .filter((line) => line !== '')
    .map((line) => cutText(line, TEXT_LIMIT));
  return {
    fact,
    ...(service === undefined ? {} : { service }),
    planned,
    measured: cutText(more.measured ?? '', TEXT_LIMIT),
    state,
    by: state === 'unproven' ? '' : (more.by ?? 'measured'),
    vantage: more.vantage ?? '',
    ...(more.cause === undefined ? {} : { cause: more.cause }),
    reason: cutText(lines.join('; '), TEXT_LIMIT),
    ...(more.mend === undefined ? {} : { mend: more.mend }),
    lines: [...lines, ...(more.ways ?? [])],
    evidence: (more.evidence ?? []).slice(0, EVIDENCE_LIMIT),
    findings: more.findings ?? [],
    ...(more.path === undefined ? {} : { path: more.path }),
    ...(more.parts === undefined ? {} : { parts: more.parts }),
    ...(more.vlans === undefined ? {} : { vlans: more.vlans }),
  };
}

/** As matrix.json has it. */
export function factResult(fact: Fact): FactResult {
  const {
    lines: _lines,
    evidence: _evidence,
    findings: _findings,
    path: _path,
    parts: _parts,
    vlans: _vlans,
    ...result
  } = fact;
  return result;
}
