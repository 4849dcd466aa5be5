import type { EndpointResult, EndpointSighting } from '../matrix/matrix.js';
import type { Endpoint, PlannedService } from '../plan/model.js';
import type { Mark } from '../text/marks.js';
import type { Cell } from './cell.js';

interface ServiceState {
  readonly name: string;
  readonly mark: Mark;
  readonly word: string;
}

const WORST: readonly Mark[] = ['differs', 'missing', 'unproven', 'matches'];

/** All planned services of an endpoint in one cell: those that fail first, with what they did; those that work by name. */
export function serviceCell(
  endpoint: EndpointResult,
  sighting: EndpointSighting,
  planned: Endpoint | undefined,
): Cell {
  const states = (planned?.services ?? servicesAsked(sighting)).map((service) =>
    stateOf(service, endpoint, sighting),
  );
  if (states.length === 0) return { text: '–' };
  const mark = WORST.find((candidate) => states.some((state) => state.mark === candidate)) ?? 'matches';
  const words = new Set(states.map((state) => state.word));
  if (words.size === 1) {
    const word = states[0]?.word ?? '';
    const names = states.map((state) => state.name).join(' ');
    return { mark, text: word === '' ? names : `${names} ${word}` };
  }
  const failing = states.filter((state) => state.word !== '').map((state) => `${state.name} ${state.word}`);
  const working = states.filter((state) => state.word === '').map((state) => state.name);
  return { mark, text: [...failing, working.join(' ')].join('; ') };
}

function stateOf(
  service: PlannedService,
  endpoint: EndpointResult,
  sighting: EndpointSighting,
): ServiceState {
  const { name, port, protocol } = service;
  const same = (other: { readonly port: number }): boolean => other.port === port;
  const proof = sighting.proofs.find((candidate) => same(candidate) && candidate.protocol === protocol);
  const tcp = protocol === 'tcp' ? sighting.tcp.find(same) : undefined;
  const outcome =
    proof === undefined || proof.outcome === 'not-run' ? (tcp?.outcome ?? proof?.outcome) : proof.outcome;
  switch (outcome) {
    case 'proven':
    case 'accepted':
      return { name, mark: 'matches', word: '' };
    case 'refused':
      return { name, mark: 'differs', word: 'refused' };
    case 'other-protocol':
      return { name, mark: 'differs', word: 'speaks otherwise' };
    case 'silent':
    case 'no-reply':
      return { name, mark: endpoint.verdict === 'missing' ? 'missing' : 'differs', word: 'silent' };
    case 'unreachable':
      return { name, mark: endpoint.verdict === 'missing' ? 'missing' : 'differs', word: 'unreachable' };
    case 'not-run':
    case undefined:
      return { name, mark: 'unproven', word: 'not asked' };
  }
}

/** Where the plan's row is not at hand, what was asked stands for it. */
function servicesAsked({ proofs, tcp }: EndpointSighting): readonly PlannedService[] {
  const asked = proofs.map(({ service, protocol, port }) => ({ name: service, protocol, port }));
  const more = tcp
    .filter(({ port }) => !asked.some((known) => known.protocol === 'tcp' && known.port === port))
    .map(({ service, port }) => ({ name: service, protocol: 'tcp' as const, port }));
  return [...asked, ...more];
}
