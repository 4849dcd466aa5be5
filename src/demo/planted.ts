/** What is wrong with the site on purpose, and the finding that has to say so. */
import type { Finding, FindingCode } from '../findings/index.js';
import type { Matrix } from '../matrix/matrix.js';
import type { DemoEndpoint } from './layout.js';

export interface PlantedFault {
  /** One sentence: what was done to the site. */
  readonly what: string;
  /** Endpoint or group that the finding has to be about. */
  readonly where: string;
  readonly code: FindingCode;
  /** Whether a result shows it. */
  found(matrix: Matrix): boolean;
}

interface Planting {
  readonly what: string;
  readonly where: DemoEndpoint | 'vault-1 data';
  readonly code: FindingCode;
  /** Other findings above note that follow from it. */
  readonly also: readonly (readonly [code: FindingCode, subject: string])[];
}

const PLANTINGS: readonly Planting[] = [
  {
    what: 'The management port of controller B of vault-1 does not work: nothing listens there. (The loopback refuses for it; on a wire a broken port is silent.)',
    where: 'vault-1/B/mgmt',
    code: 'service-refused',
    also: [
      ['snmp-no-answer', 'vault-1/B/mgmt'],
      ['path-missing', 'vault-1/B/mgmt'],
      ['single-point', 'vault-1 management (inferred)'],
    ],
  },
  {
    what: 'The second data path of vault-1 is silent: its port takes connections and says nothing.',
    where: 'vault-1/B/data0',
    code: 'service-missing',
    also: [['portal-missing', 'vault-1/B/data0']],
  },
  {
    what: 'So vault-1 hangs on one controller, one switch and one network, though the plan has two of each.',
    where: 'vault-1 data',
    code: 'single-point',
    also: [
      ['path-missing', 'vault-1/B/data0'],
      ['path-missing', 'press-1/h1 -> vault-1/B/data0'],
      ['single-point', 'press-1 to vault-1'],
    ],
  },
  {
    what: "The wrong device is at an address: the controllers of vault-2 were given each other's management address.",
    where: 'vault-2/A/mgmt',
    code: 'wrong-device',
    also: [
      ['wrong-device', 'vault-2/B/mgmt'],
      ['path-missing', 'vault-2/A/mgmt'],
      ['path-missing', 'vault-2/B/mgmt'],
      ['group-lost', 'vault-2 management (inferred)'],
    ],
  },
  {
    what: 'SSH is switched off on loft-switch-2: the port refuses, the rest answers.',
    where: 'loft-switch-2/mgmt',
    code: 'service-refused',
    also: [],
  },
  {
    what: 'The second storage port of press-1 came up with 1G instead of 10G.',
    where: 'press-1/h1',
    code: 'speed-below-plan',
    also: [],
  },
  {
    what: "Two cables on loft-switch-1 are swapped: vault-2 and press-1 are in each other's port, and both answer.",
    where: 'vault-2/A/data0',
    code: 'wrong-switch-port',
    also: [['wrong-switch-port', 'press-1/h0']],
  },
];

export const PLANTED: readonly PlantedFault[] = PLANTINGS.map(({ what, where, code }) => ({
  what,
  where,
  code,
  found: (matrix) => matrix.findings.some((finding) => isAt(finding, code, where)) && shows(matrix, where),
}));

/** Findings above `note` that nobody planted: false alarms. */
export function unexpectedFindings(matrix: Matrix): Finding[] {
  const expected = PLANTINGS.flatMap(({ code, where, also }) => [[code, where] as const, ...also]);
  return matrix.findings.filter(
    (finding) =>
      finding.severity !== 'note' && !expected.some(([code, subject]) => isAt(finding, code, subject)),
  );
}

function isAt(finding: Finding, code: FindingCode, subject: string): boolean {
  return finding.code === code && finding.subject === subject;
}

/** The verdict says it as well as the finding. */
function shows(matrix: Matrix, where: string): boolean {
  const endpoint = matrix.endpoints.find(({ id }) => id === where);
  if (endpoint !== undefined) return endpoint.verdict === 'differs' || endpoint.verdict === 'missing';
  return matrix.groups.some(({ name, verdict }) => name === where && verdict === 'at-risk');
}
