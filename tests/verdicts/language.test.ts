/**
 * No verdict may change with the language of the operating system, or with any other words (DESIGN 5): the whole judge on the same evidence
 * with every text of it that is meant for people replaced, and the same verdicts. The page and the terminal likewise: other words, and the
 * same tags, columns, jobs, lines and signs.
 */
import { expect, it } from 'vitest';
import type { Judgement, Matrix } from '../../src/matrix/matrix.js';
import { renderPage } from '../../src/page/render.js';
import { buildMatrix } from '../../src/result/build.js';
import { renderCsv, renderFindingsCsv } from '../../src/result/csv.js';
import type { Evidence } from '../../src/sighting/types.js';
import { renderFindings } from '../../src/terminal/findings.js';
import { renderFollow } from '../../src/terminal/follow.js';
import { renderOpenEnds } from '../../src/terminal/open-ends.js';
import { renderSummary } from '../../src/terminal/summary.js';
import { judge } from '../../src/verdicts/judge.js';
import {
  aDevice,
  aGroup,
  anEndpoint,
  anEvidence,
  aPlan,
  aProof,
  aSighting,
  aTcp,
  claimed,
  mac,
} from '../support/evidence.js';
import {
  EVIDENCE_WORDS,
  inOtherLetters,
  inOtherWords,
  RESULT_WORDS,
  shapeOf,
} from '../support/other-words.js';
import { sampleMatrix } from '../support/sample-matrix.js';

const ends = (...devices: string[]) => devices.flatMap((device) => [`${device}/A/mgmt`, `${device}/B/mgmt`]);
const IDS = ends('vault-1', 'vault-2', 'vault-3');
const addressOf = (index: number): string => `192.0.2.${11 + index}`;

const plan = aPlan({
  devices: [aDevice('vault-1', { identity: { sysName: 'vault-1*' }, snmp: 'site-ro' })],
  endpoints: IDS.map((id, index) =>
    anEndpoint(id, { address: addressOf(index), services: 'https snmp', group: 'mgmt', mtu: 9000 }),
  ),
  groups: [aGroup('mgmt', IDS)],
});

const evidence = (): Evidence[] => [
  anEvidence({
    notes: ['the capture ended early'],
    sightings: [
      aSighting(addressOf(0), {
        by: mac(1),
        answers: 'https',
        snmp: {
          outcome: 'not-run',
          cause: 'secret-missing',
          reason: 'credential site-ro: the variable is not set',
        },
        icmp: { outcome: 'unreachable', cause: 'filtered', detail: 'Packet filtered', by: '192.0.2.1' },
      }),
      aSighting(addressOf(1), {
        reach: 'routed',
        icmp: {
          outcome: 'unreachable',
          cause: 'filtered',
          detail: 'administratively prohibited',
          by: '192.0.2.1',
        },
        tcp: [
          { ...aTcp('https', 'unreachable'), cause: 'filtered', detail: 'network is unreachable' } as never,
        ],
      }),
      aSighting(addressOf(2), {
        reach: 'no-route',
        reachReason: 'this laptop has no address in mgmt',
        mend: { add: 'ip address add', remove: 'ip address del' },
        presence: { outcome: 'not-run', cause: 'no-route', reason: 'no route from here' },
      }),
      aSighting(addressOf(3), {
        presence: claimed([mac(4), mac(5)], { duplicateCheckReason: 'both were heard (capture)' }),
        tcp: [aTcp('https', 'refused')],
      }),
      aSighting(addressOf(4), {
        by: mac(6),
        tcp: [aTcp('https')],
        proofs: [aProof('https', 'other-protocol', 'plain HTTP speaks there, not TLS')],
        mtu: { outcome: 'smaller', mtu: 1500, asked: 9000, told: 'silent', detail: 'larger ones vanish' },
      }),
      aSighting(addressOf(5), {
        presence: {
          outcome: 'not-run',
          cause: 'no-room',
          reason: 'the neighbour table stayed full',
          unasked: true,
        },
        icmp: {
          outcome: 'not-run',
          cause: 'not-installed',
          reason: 'there is no ping program on this laptop',
        },
      }),
    ],
    switches: [
      {
        switch: 'sw-a',
        askedAt: '',
        ports: [],
        forwarding: [],
        neighbours: [],
        ownMacs: [],
        truncated: 'interrupted',
        cutBecause: 'interrupted',
      },
    ],
  }),
];

/** Everything that decides, and nothing that is said. */
function decided({ endpoints, groups, findings, defaults }: Judgement) {
  return {
    endpoints: endpoints.map(({ id, verdict, facts }) => ({
      id,
      verdict,
      facts: facts.map(({ fact, service, state, by, cause }) => ({ fact, service, state, by, cause })),
    })),
    groups: groups.map(({ name, verdict, basis, live }) => ({ name, verdict, basis, live })),
    findings: findings.map(({ id, follows, severity }) => ({ id, follows, severity })),
    defaults: defaults.map(({ address, outcome }) => ({ address, outcome })),
  };
}

it.each([
  ['Russian', 'Заданный узел недоступен'],
  ['Japanese', '宛先ホストに到達できません'],
  ['words that mean the opposite', 'connected; replied; proven; not interrupted'],
  ['nothing', ''],
])('the verdicts are the same with every sentence in %s', (_language, word) => {
  const first = judge(plan, evidence(), { review: [] });
  const second = judge(
    plan,
    inOtherWords(evidence(), EVIDENCE_WORDS, () => word),
    { review: [] },
  );
  expect(decided(second)).toEqual(decided(first));
  expect(new Set(first.endpoints.map(({ verdict }) => verdict)).size).toBeGreaterThan(2);
});

const screens = (matrix: Matrix): Record<string, string> => {
  const style = { width: 100, colour: true, unicode: true };
  return {
    page: renderPage(matrix),
    summary: renderSummary(matrix, style),
    full: renderSummary(matrix, { ...style, all: true }),
    findings: renderFindings(matrix.findings, style),
    openEnds: renderOpenEnds(matrix, style),
    follow: renderFollow(matrix, { log: [], status: '', height: 60 }, style).join('\n'),
    matrixCsv: renderCsv(matrix),
    findingsCsv: renderFindingsCsv(matrix),
  };
};

const judgedMatrix = (seen: readonly Evidence[]): Matrix =>
  buildMatrix({
    run: { id: 'run-1', version: '0' },
    plan,
    evidence: seen,
    judgement: judge(plan, seen, { review: [] }),
  });

it.each([
  ['a run', judgedMatrix(evidence())],
  ['a run of many kinds of findings', sampleMatrix()],
  ['runs of two places', sampleMatrix(['bench', 'loft'])],
])(
  'page, terminal and CSV of %s have the same shape when what was concluded is said in other words',
  (_what, matrix) => {
    const other = inOtherWords(matrix, RESULT_WORDS, inOtherLetters);
    expect(JSON.stringify(other)).not.toBe(JSON.stringify(matrix));
    const [first, second] = [screens(matrix), screens(other)];
    for (const [screen, text] of Object.entries(first)) {
      expect(second[screen], screen).not.toBe(text);
      expect(shapeOf(second[screen] ?? ''), screen).toBe(shapeOf(text));
    }
  },
);

it('page and terminal have the same shape when the evidence came in other words', () => {
  const first = screens(judgedMatrix(evidence()));
  const second = screens(judgedMatrix(inOtherWords(evidence(), EVIDENCE_WORDS, inOtherLetters)));
  for (const [screen, text] of Object.entries(first))
    expect(shapeOf(second[screen] ?? ''), screen).toBe(shapeOf(text));
});
