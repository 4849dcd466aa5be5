/** Plans changed at random: cut, doubled, swapped, with bytes and words of other places put in. Repeatable by their seed. */
import { writeFileSync } from 'node:fs';
import path from 'node:path';
import { expect } from 'vitest';
import { loadPlan } from '../../src/plan-file/load.js';
import { describeIssue } from '../../src/plan-file/wording.js';
import { fullReview } from '../../src/run/run.js';
import { folder } from './helpers.js';

/** A linear congruential generator (Numerical Recipes, §7.1; from memory). */
export function randomFrom(seed: number): (below: number) => number {
  let state = seed >>> 0;
  return (below) => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
    return Math.floor((state / 2 ** 32) * below);
  };
}

const WORDS = [
  '',
  ' ',
  '\n',
  '\t',
  ':',
  ': ',
  '- ',
  '[',
  ']',
  '{',
  '}',
  '"',
  "'",
  ',',
  ';',
  '#',
  '&a ',
  '*a',
  '!!binary ',
  '|',
  '>',
  '+',
  '/',
  '0',
  '-1',
  '1e9',
  '999999999999',
  '192.0.2.1',
  '192.0.2.1/24',
  '::1',
  '2001:db8::/32',
  'null',
  'yes',
  'maybe',
  '__proto__',
  'constructor',
  'toString',
  'env:HOME',
  'file:../x',
  'device',
  'endpoints',
  'sw-a+sw-b',
  '1/7+1/8',
  '10:00:00:00:5e:00:53:01',
  '\u0000',
  '\u001b[2J',
  '\u202e',
  '\ud800',
  '\ufeff',
];

export function mutate(text: string, random: (below: number) => number): string {
  let changed = text;
  for (let times = 1 + random(4); times > 0; times -= 1) {
    const at = random(changed.length + 1);
    const to = Math.min(changed.length, at + random(random(4) === 0 ? 400 : 12));
    switch (random(6)) {
      case 0:
        changed = changed.slice(0, at) + changed.slice(to);
        break;
      case 1:
        changed = changed.slice(0, to) + changed.slice(at);
        break;
      case 2:
        changed = changed.slice(0, at) + (WORDS[random(WORDS.length)] ?? '') + changed.slice(at);
        break;
      case 3:
        changed = changed.slice(0, at) + (WORDS[random(WORDS.length)] ?? '') + changed.slice(to);
        break;
      case 4: {
        const from = random(changed.length + 1);
        changed = changed.slice(0, at) + changed.slice(from, from + 80) + changed.slice(at);
        break;
      }
      default:
        changed = changed.slice(0, at) + String.fromCharCode(random(256)) + changed.slice(at + 1);
    }
  }
  return changed;
}

const SEEDS: readonly (readonly [string, string])[] = [
  [
    'plan.yaml',
    'plan: 1\nsite: { name: Harbour Library }\nnetworks:\n  - { name: mgmt, cidr: 192.0.2.0/24, gateway: 192.0.2.1, vlan: 10, reserved: [192.0.2.1-192.0.2.9], in-use: [192.0.2.20] }\ndevices:\n  - { name: vault-1, rack: R3, units: 11-13, feeds: [A, B], default-addresses: [192.0.2.200], existing: yes, snmp: ro, controllers: { A: { sysName: "vault-1-a" } } }\nendpoints:\n  - { device: vault-1, controller: A, port: mgmt, address: 192.0.2.11, services: https ssh, switch: sw-a+sw-b, switch port: 1/7+1/7 }\n  - { device: vault-1, controller: B, port: fc0, media: fc, wwpn: "10:00:00:00:5e:00:53:01", group: g }\ngroups:\n  - { name: g, need: 1, independent: [controller, switch] }\nsnmp:\n  ro: { version: 2c, community: "env:SITE_SNMP" }\nobserve:\n  - { subject: vault-1, item: lamp, expect: green, when: powered }\nvantages:\n  - { name: hall, ssh: "ssh://meter@hall.example" }\n',
  ],
  [
    'list.csv',
    'device,controller,port,role,network,address,mac,media,services,group,switch,switch port,speed,mtu,wwpn,note\nvault-1,A,mgmt,management,mgmt,192.0.2.11/24,00:00:5e:00:53:11,copper,https:8443 ssh,g,sw-a,1/0/1,1G,1500,,first\nvault-1,B,data0,data,data,198.51.100.12/25,,fibre,iscsi-target,g,sw-a+sw-b,1+2,10G,9000,,"a, b"\n',
  ],
];

/** `count` changed plans: each ends in a clear error with its place, or in a model that can be reviewed. */
export async function plansEndWell(count: number, seed: number): Promise<{ readonly valid: number }> {
  const random = randomFrom(seed);
  const place = folder({});
  let valid = 0;
  for (let index = 0; index < count; index += 1) {
    const [name, text] = SEEDS[random(SEEDS.length)] ?? ['', ''];
    const changed = mutate(text, random);
    const file = path.join(place, name);
    writeFileSync(file, changed);
    const what = `seed ${seed}, plan ${index}: ${JSON.stringify(changed).slice(0, 3000)}`;
    const begin = performance.now();
    const loaded = await loadPlan(file).catch((error: unknown) => {
      throw new Error(what, { cause: error });
    });
    expect(performance.now() - begin, what).toBeLessThan(10_000);
    for (const issue of loaded.issues) {
      const line = describeIssue(issue);
      expect(line, what).not.toMatch(/[\u0000-\u001f\u007f-\u009f\u202a-\u202e]|undefined|\[object/u);
      expect(line.length, what).toBeLessThan(700);
    }
    if (!loaded.ok)
      expect(
        loaded.issues.some(({ level }) => level === 'error'),
        what,
      ).toBe(true);
    else {
      valid += 1;
      const ids = loaded.plan.endpoints.map(({ id }) => id);
      expect(new Set(ids).size, what).toBe(ids.length);
      try {
        fullReview(loaded.plan);
      } catch (error) {
        throw new Error(what, { cause: error });
      }
    }
  }
  return { valid };
}
