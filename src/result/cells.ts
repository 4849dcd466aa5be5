/** What one vantage saw of one endpoint, as five short cells. The words of the matrix on the page, in the terminal and in CSV. */
import { fitOf } from '../identity/fit.js';
import type { EndpointResult, EndpointSighting } from '../matrix/matrix.js';
import type { Endpoint, PlannedIdentity } from '../plan/model.js';
import type { Cell } from './cell.js';
import { pathCell } from './path-cell.js';
import { serviceCell } from './service-cell.js';

export const PROBE_COLUMNS = [
  { key: 'address', title: 'Address', means: 'who claims the address on the link' },
  { key: 'echo', title: 'Echo', means: 'ICMP echo and its round trip' },
  { key: 'services', title: 'Services', means: 'each planned service, asked in its own protocol' },
  { key: 'box', title: 'Box', means: 'what the box calls itself' },
  { key: 'path', title: 'Path', means: 'link, speed, MTU, switch port and portals' },
] as const;
export type ProbeColumn = (typeof PROBE_COLUMNS)[number]['key'];

const NOTHING: Cell = { text: '–' };

const COLUMN_OF_CODE: Readonly<Record<string, ProbeColumn>> = {
  'address-taken': 'address',
  'own-address-planned': 'address',
  'duplicate-address': 'address',
  'endpoint-missing': 'address',
  'proxy-arp': 'address',
  'no-echo': 'echo',
  'service-missing': 'services',
  'service-refused': 'services',
  'service-other': 'services',
  'snmp-no-answer': 'services',
  'wrong-device': 'box',
  'certificate-expired': 'box',
  'link-down': 'path',
  'speed-below-plan': 'path',
  'mtu-below-plan': 'path',
  'wrong-switch-port': 'path',
  'portal-missing': 'path',
  'portal-unplanned': 'path',
};

/** The column that a finding speaks about; undefined where it is about no single cell. */
export function columnOf(code: string): ProbeColumn | undefined {
  return Object.hasOwn(COLUMN_OF_CODE, code) ? COLUMN_OF_CODE[code] : undefined;
}

export interface CellContext {
  readonly planned: Endpoint | undefined;
  /** The plan says by what the box would be known. */
  readonly identityPlanned: boolean;
  /** Those patterns, where they are at hand: the box matches where one of them was read. */
  readonly identity?: readonly PlannedIdentity[] | undefined;
  /** Columns that findings above `note` speak against for this endpoint. */
  readonly against: ReadonlySet<ProbeColumn>;
}

/** On the same link nobody claims the address: nothing else had to be asked. */
const SILENT: Readonly<Record<ProbeColumn, Cell>> = {
  address: { mark: 'missing', text: 'nobody claims it' },
  echo: NOTHING,
  services: NOTHING,
  box: NOTHING,
  path: NOTHING,
};

/**
 * The cells of one sighting. The judge's word counts (`against`): a cell only says where it was seen.
 */
export function cellsOf(
  endpoint: EndpointResult,
  sighting: EndpointSighting,
  { planned, identityPlanned, identity, against }: CellContext,
): Readonly<Record<ProbeColumn, Cell>> {
  if (sighting.presence.outcome === 'unclaimed' && sighting.icmp.outcome === 'not-run') return SILENT;
  const cells = {
    address: addressCell(sighting),
    echo: echoCell(endpoint, sighting),
    services: serviceCell(endpoint, sighting, planned),
    box: boxCell(sighting, identityPlanned, against.has('box') ? undefined : identity),
    path: pathCell(endpoint, sighting, planned),
  };
  for (const key of against) {
    const cell = cells[key];
    if (cell.mark === 'matches' || cell.mark === 'told') cells[key] = { ...cell, mark: 'differs' };
  }
  return cells;
}

function addressCell({ presence, reach, own }: EndpointSighting): Cell {
  if (own === true && !(presence.outcome === 'claimed' && presence.macs.length > 1))
    return { mark: 'told', text: 'this machine has it' };
  if (presence.outcome === 'unclaimed') return { mark: 'missing', text: 'nobody claims it' };
  if (presence.outcome === 'claimed') return { mark: 'matches', text: claimants(presence.macs.length) };
  return reach === 'routed' ? { text: 'behind a router' } : { mark: 'unproven', text: 'not asked' };
}

/** One MAC is no proof that there is no second box: the evidence says how sure that is. */
function claimants(boxes: number): string {
  return boxes > 1 ? `claimed by ${boxes} boxes` : 'claimed';
}

function echoCell({ verdict }: EndpointResult, { icmp, tcp }: EndpointSighting): Cell {
  switch (icmp.outcome) {
    case 'replied': {
      const lost = icmp.received < icmp.sent ? `, ${icmp.received} of ${icmp.sent}` : '';
      return { mark: 'matches', text: `${formatMs(icmp.rttMs)}${lost}` };
    }
    case 'no-reply': {
      const answersElsewhere = tcp.some(({ outcome }) => outcome === 'accepted' || outcome === 'refused');
      return {
        mark: verdict === 'missing' ? 'missing' : answersElsewhere ? 'told' : 'differs',
        text: 'no reply',
      };
    }
    case 'unreachable':
      return { mark: verdict === 'missing' ? 'missing' : 'differs', text: 'unreachable' };
    case 'not-run':
      return verdict === 'missing' ? { text: 'not asked' } : { mark: 'unproven', text: 'not asked' };
  }
}

function boxCell(
  { identity, proofs }: EndpointSighting,
  identityPlanned: boolean,
  stated: CellContext['identity'],
): Cell {
  const name =
    identity.snmp?.sysName ??
    identity.redfish?.product ??
    identity.https?.title ??
    identity.http?.title ??
    identity.certificate?.subject ??
    identity.ssh?.line;
  if (name !== undefined && name !== '') {
    const read = stated === undefined || fitOf(identity, ...stated).fits.length > 0;
    return { mark: !identityPlanned ? 'told' : read ? 'matches' : 'unproven', text: name };
  }
  if (identityPlanned) return { mark: 'unproven', text: 'says nothing' };
  return proofs.some(({ outcome }) => outcome === 'proven') ? { text: 'says nothing' } : NOTHING;
}

/** `0.4 ms`, `12 ms`, `under 0.1 ms`. */
export function formatMs(milliseconds: number): string {
  if (milliseconds < 0.05) return 'under 0.1 ms';
  return `${milliseconds < 10 ? Math.round(milliseconds * 10) / 10 : Math.round(milliseconds)} ms`;
}
