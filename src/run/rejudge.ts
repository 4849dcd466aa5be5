/** Judges a finished run again after evidence was added: an attestation, a drill. The plan comes from the result itself. */

import { ruleOf } from '../findings/rule-of.js';
import type { Matrix } from '../matrix/matrix.js';
import { makerOf } from '../plan/maker.js';
import { buildMatrix } from '../result/build.js';
import type { Evidence } from '../sighting/types.js';
import { judge } from '../verdicts/judge.js';

export function rejudge(matrix: Matrix, evidence: readonly Evidence[]): Matrix {
  const plan = { ...matrix.plan.model, snmp: {} };
  const review = matrix.findings.filter(({ code }) => ruleOf(code)?.family === 'plan');
  return buildMatrix({
    run: matrix.run,
    plan,
    evidence,
    judgement: judge(plan, evidence, { review, makerOf, survey: matrix.survey }),
    review,
    capacity: matrix.capacity,
    survey: matrix.survey,
  });
}
