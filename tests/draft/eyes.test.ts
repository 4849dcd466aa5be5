import { expect, test } from 'vitest';
import { draftOf } from '../../src/draft/draft.js';
import { STEPS } from '../../src/plan/model.js';
import { equipmentOf } from './equipment.js';

const EQUIPMENT = equipmentOf(`equipment: 1
site: { name: Harbour Library }
networks: [{ name: mgmt, cidr: 192.0.2.0/24 }, { name: fabric-1 }]
items:
  - name: vault
    controllers: [A, B]
    feeds: [A, B]
    ports:
      - { name: mgmt, role: management, network: mgmt }
      - { name: fc0, role: data, media: fc, network: fabric-1, per: device }
      - { name: vip, role: management, network: mgmt, per: device, virtual: yes }
  - { name: press, ports: [{ name: nic0, role: host, network: mgmt }] }
observe:
  - { subject: vault-1, item: Labels, expect: the customer tag, when: cabled }
  - { subject: roof, item: aerial, expect: gone }
`);

test('the usual list by step of the visit, with what the list adds; the added one counts where both look at a thing', () => {
  const { plan } = draftOf(EQUIPMENT, {
    observe: [
      { subject: 'rack R3', item: 'door', expect: 'locked', when: 'handover', at: { file: 'x.csv', row: 2 } },
    ],
  });
  const looks = plan.observe.map(({ when, subject, item, expect }) =>
    [when, subject, item, expect].join(' | '),
  );
  expect(looks).toEqual([
    'unpacked | vault-1 | parts against the packing list | complete, undamaged',
    'unpacked | press-1 | parts against the packing list | complete, undamaged',
    'racked | vault-1 | rails and screws | rails latched, screws set',
    'racked | press-1 | rails and screws | rails latched, screws set',
    'cabled | vault-1 | power cords | one cord into each of feed A and B',
    'cabled | vault-1 | dust caps | on each open port, the others kept',
    'cabled | press-1 | power cords | cord into its feed',
    'cabled | press-1 | labels | label at both ends of each cable',
    'cabled | vault-1 | Labels | the customer tag',
    'powered | vault-1 | lamp of the supply on feed A | steady green',
    'powered | vault-1 | lamp of the supply on feed B | steady green',
    'powered | vault-1/A/mgmt | link lamp | green',
    'powered | vault-1/B/mgmt | link lamp | green',
    'powered | vault-1/fc0 | link lamp | green',
    'powered | press-1 | power lamp | steady green',
    'powered | press-1/nic0 | link lamp | green',
    'configured | vault-1 | default login | changed',
    'handover | Harbour Library | spare parts | handed over',
    'handover | Harbour Library | keys of racks and rooms | handed over',
    'handover | Harbour Library | packing and old parts | taken away or handed over',
    'handover | rack R3 | door | locked',
    ' | roof | aerial | gone',
  ]);
  expect(new Set(looks.map((look) => look.split(' | ')[0]))).toEqual(new Set([...STEPS, '']));
});
