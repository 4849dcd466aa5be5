/** The address list of a hall of racks for tests of size: per rack two storage systems, two switches and a host. */

const COLUMNS =
  'device,controller,port,role,network,address,mac,media,services,group,switch,switch port,speed,mtu,default address';

export interface Hall {
  /** `plan.yaml` of fixtures/plans/hall-40 names it `hall.csv`. */
  readonly csv: string;
  readonly endpoints: number;
}

/** 25 endpoints a rack. Addresses of 198.18.0.0/15 (RFC 2544 appendix C.2.2), up to 60 racks. */
export function generateHall(racks: number): Hall {
  const taken = new Map<string, number>();
  const address = (network: keyof typeof FIRST) => {
    const next = (taken.get(network) ?? 0) + 1;
    taken.set(network, next);
    // .0.1 is the router's.
    return `198.18.${FIRST[network] + Math.floor((next + 1) / 256)}.${(next + 1) % 256}/21`;
  };
  let serial = 0;
  const mac = () => {
    serial += 1;
    // Locally administered: the documentation block has 256 addresses only (RFC 9542 §2.1).
    return `02:00:5e:${[serial >> 16, (serial >> 8) & 0xff, serial & 0xff].map((byte) => byte.toString(16).padStart(2, '0')).join(':')}`;
  };
  const rows: string[] = [];
  for (let rack = 1; rack <= racks; rack += 1) {
    const name = String(rack).padStart(2, '0');
    const switches = [`loft-${name}`, `cellar-${name}`] as const;
    for (const unit of [1, 2]) {
      const device = `vault-${name}-${unit}`;
      for (const [side, controller] of ['A', 'B'].entries()) {
        const own = switches[side] ?? switches[0];
        const place = 2 * unit + side;
        rows.push(
          [
            device,
            controller,
            'mgmt',
            'management',
            'mgmt',
            address('mgmt'),
            mac(),
            'copper',
            'https ssh snmp',
            `${device} management`,
            own,
            `1/0/${place}`,
            '1G',
            1500,
            '203.0.113.200',
          ].join(','),
        );
        for (const port of [0, 1, 2, 3]) {
          const network = port % 2 === 0 ? 'data-a' : 'data-b';
          const to = switches[port % 2] ?? switches[0];
          rows.push(
            [
              device,
              controller,
              `data${port}`,
              'data',
              network,
              address(network),
              mac(),
              'fibre',
              'iscsi-target',
              `${device} data`,
              to,
              `1/0/${10 + 4 * place + port}`,
              '25G',
              9000,
              '',
            ].join(','),
          );
        }
      }
    }
    for (const device of switches)
      rows.push(
        [
          device,
          '',
          'mgmt',
          'switch',
          'mgmt',
          address('mgmt'),
          mac(),
          'copper',
          'ssh snmp',
          '',
          '',
          '',
          '1G',
          1500,
          '',
        ].join(','),
      );
    const host = `press-${name}`;
    rows.push(
      [
        host,
        '',
        'mgmt',
        'management',
        'mgmt',
        address('mgmt'),
        mac(),
        'copper',
        'ssh',
        '',
        switches[0],
        '1/0/8',
        '1G',
        1500,
        '',
      ].join(','),
    );
    for (const [side, network] of (['data-a', 'data-b'] as const).entries())
      rows.push(
        [
          host,
          '',
          `ha${side}`,
          'host',
          network,
          address(network),
          mac(),
          'fibre',
          '',
          '',
          switches[side] ?? '',
          '1/0/9',
          '25G',
          9000,
          '',
        ].join(','),
      );
  }
  return { csv: `${[COLUMNS, ...rows].join('\n')}\n`, endpoints: rows.length };
}

/** Third octet at which each /21 starts, as in fixtures/plans/hall-40/plan.yaml. */
const FIRST = { mgmt: 0, 'data-a': 8, 'data-b': 16 } as const;
