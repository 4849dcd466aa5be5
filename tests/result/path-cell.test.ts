import { describe, expect, test } from 'vitest';
import type { Difference, EndpointResult, EndpointSighting } from '../../src/matrix/matrix.js';
import { pathCell } from '../../src/result/path-cell.js';
import { anEndpoint, aSighting } from '../support/evidence.js';
import { LINK, seen } from '../support/matrix.js';

const address = '198.51.100.11';
const planned = anEndpoint('vault-1/A/data0', {
  address,
  speedMbps: 10_000,
  switch: 'data-switch-a',
  switchPort: 'port12',
});
const differs = (field: string, wanted: string, measured: string): Difference => ({
  field,
  planned: wanted,
  measured,
  evidence: '',
});

function pathOf(
  more: Partial<EndpointSighting>,
  differences: readonly Difference[] = [],
  place: 'first' | 'second' = 'first',
): (string | undefined)[] {
  const sighting = seen('bench', aSighting(address), more);
  const other = seen('loft', aSighting(address));
  const endpoint: EndpointResult = {
    id: 'vault-1/A/data0',
    device: 'vault-1',
    controller: 'A',
    port: 'data0',
    role: 'data',
    network: 'data-a',
    address,
    group: '',
    verdict: differences.length === 0 ? 'matches' : 'differs',
    reasons: [],
    sightings: place === 'first' ? [sighting, other] : [other, sighting],
    facts: [],
    differences,
  };
  const { mark, text } = pathCell(endpoint, sighting, planned);
  return [mark, text];
}

const AT = { switch: 'data-switch-a', port: 'port12', mac: '00:00:5e:00:53:01', by: 'forwarding table' };

describe('the path', () => {
  test('as planned', () => {
    expect(pathOf({ link: LINK, cabling: AT })).toEqual(['matches', 'link up, 10G, at data-switch-a port12']);
    expect(pathOf({ cabling: { ...AT, port: 'Eth1/7' } })[1]).toBe('at data-switch-a port Eth1/7');
  });

  test.each<[string, Difference, string]>([
    ['a slow link', differs('speed', '10G', '1G'), '1G of 10G'],
    [
      'a link that is down',
      differs('link', 'up', 'down (the layer below it is)'),
      'link down (the layer below it is)',
    ],
    ['a small MTU', differs('mtu', '9000', '1504'), 'MTU 1504 of 9000'],
    [
      'another port of the switch',
      differs('switch port', 'data-switch-a port12', 'data-switch-a port13, swapped with vault-1/B/data0'),
      'at data-switch-a port13, planned port12',
    ],
    [
      'another switch',
      differs(
        'switch port',
        'data-switch-a port12',
        'data-switch-b port 4 or beyond it (it leads to loft-switch)',
      ),
      'at data-switch-b port 4, planned data-switch-a port12',
    ],
    [
      'a port that is not known',
      differs('switch port', 'data-switch-a port12', 'another port, not identified'),
      'at another port, not identified, planned data-switch-a port12',
    ],
    ['a missing portal', differs('portals', `lists ${address}:3260`, 'not listed'), 'portal not listed'],
    [
      'a portal too many',
      differs('portals', 'only portals of the plan', 'lists 203.0.113.9:3260'),
      'lists 203.0.113.9:3260',
    ],
  ])('%s is told with what is planned', (_name, difference, text) => {
    expect(pathOf({}, [difference])).toEqual(['differs', text]);
    expect(pathOf({}, [difference], 'second')).toEqual(['unproven', 'not shown']);
  });

  test('what is right beside it stays', () => {
    expect(
      pathOf({ link: { ...LINK, speedMbps: 1000 }, cabling: AT }, [differs('speed', '10G', '1G')])[1],
    ).toBe('link up, 1G of 10G, at data-switch-a port12');
  });
});
