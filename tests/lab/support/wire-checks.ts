/**
 * Who is really on the wire, by the whole program: each fault by capture, by arping and by the neighbour table alone, and what a
 * way can not find is said with its mend (DESIGN 6). Two answers to one question: RFC 5227 §2.4; neighbour discovery: RFC 4861 §7.2.
 */
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Matrix } from '../../../src/matrix/matrix.js';
import { endpointOf, found, matchmark, type WAYS, wireRefusal } from './wire-run.js';
import { buildWireSite, type WireSite } from './wire-site.js';
import { AT, LAPTOP, mac, routerMac, SWAPPED } from './wire-site-plan.js';

const CLAIMANTS: Readonly<Record<string, readonly [string, string]>> = {
  both: [mac(0x61), mac(0x62)],
  late: [mac(0x63), mac(0x66)],
  turns: [mac(0x67), mac(0x68)],
  'six-both': [mac(0x61), mac(0x62)],
};

export function checksByWay(ways: typeof WAYS): void {
  describe.skipIf(wireRefusal !== undefined)('matchmark check on a bench of wrong claimants', () => {
    let site: WireSite;
    beforeAll(async () => {
      site = await buildWireSite();
    });
    afterAll(() => site?.lab.remove());

    describe.each(ways)('%s', (_name, way) => {
      let matrix: Matrix;
      let exitCode: number | null;
      beforeAll(async () => {
        const { laptop, dead } = site;
        await laptop.must('ip', ['neigh', 'flush', 'dev', 'eth0']);
        // One device went dark this moment and left a fresh row, one long ago and left a stale row.
        await dead.linkUp('eth0', true);
        await laptop.must('ping', ['-c', '1', '-W', '5', AT.dead]);
        await dead.linkUp('eth0', false);
        const row = [AT.gone, 'lladdr', mac(0x6a), 'dev', 'eth0', 'nud', 'stale'];
        await laptop.must('ip', ['neigh', 'replace', ...row]);
        ({ result: matrix, exitCode } = await matchmark<Matrix>(site, ['check', site.planFile], way));
      });

      it('stops at every address with two devices that it can see, with both MACs', () => {
        expect(exitCode).toBe(1);
        const luck = found(matrix, 'duplicate-address').includes(`${way.mayFind}/mgmt`)
          ? way.mayFind
          : undefined;
        const finds = { ...way.finds, ...(luck === undefined ? {} : { [luck]: 'likely' }) };
        expect(found(matrix, 'duplicate-address')).toEqual(
          Object.keys(finds)
            .map((name) => `${name}/mgmt`)
            .sort(),
        );
        for (const [name, sure] of Object.entries(finds)) {
          const finding = matrix.findings.find(
            ({ code, subject }) => code === 'duplicate-address' && subject === `${name}/mgmt`,
          );
          expect(finding).toMatchObject({ severity: 'stop' });
          for (const claimant of CLAIMANTS[name] ?? []) expect(finding?.message).toContain(claimant);
          expect(finding?.message).toContain(sure === 'proven' ? 'this is proven' : 'likely, not proven');
          expect(endpointOf(matrix, `${name}/mgmt`).verdict).toBe('differs');
        }
      });

      it('says of every other address what could not be excluded, and the mend', () => {
        const open = matrix.endpoints
          .filter(({ reasons }) =>
            reasons.some((reason) => /second device .* could not be excluded/.test(reason)),
          )
          .map(({ id }) => id);
        for (const name of way.open) expect(open).toContain(`${name}/mgmt`);
        if (way.open.length === 0) expect(open.filter((id) => id !== 'desk/mgmt')).toEqual([]);
        for (const id of open) {
          const reasons = endpointOf(matrix, id).reasons.join(' ');
          expect(reasons).toMatch(/Install (tcpdump|arping)/);
          // arping speaks IPv4 alone: it fixes nothing of an IPv6 address.
          if (id.startsWith('six-')) expect(reasons).not.toContain('arping');
        }
        for (const name of Object.keys(way.finds)) expect(open).not.toContain(`${name}/mgmt`);
        const byLuck = `${way.mayFind}/mgmt`;
        if (way.mayFind !== undefined)
          expect(open.includes(byLuck)).toBe(!found(matrix, 'duplicate-address').includes(byLuck));
      });

      it('finds nothing wrong with virtual routers, a pair that moves its address, and devices alone on theirs', () => {
        for (const id of [
          'router/mgmt',
          'relayed/mgmt',
          'pair/service',
          'pair/A/mgmt',
          'pair/B/mgmt',
          'alone/mgmt',
        ]) {
          const { verdict, facts } = endpointOf(matrix, id);
          expect({ id, verdict }, JSON.stringify(facts)).toEqual({ id, verdict: 'matches' });
          expect(
            matrix.findings.filter(({ subject, severity }) => subject === id && severity !== 'note'),
          ).toEqual([]);
        }
        expect(matrix.strangers).toEqual([]);
        if (way.lacking.includes('arping') && !way.lacking.includes('tcpdump'))
          expect(endpointOf(matrix, 'relayed/mgmt').reasons).toContain(
            `${routerMac(11)} is a virtual router's MAC, held by ${mac(0x69)}`,
          );
      });

      it.each(Object.keys(SWAPPED))('names A and B as swapped: %s', (device) => {
        for (const [here, there] of ['AB', 'BA'].map((pair) => [...pair])) {
          const id = `${device}/${here}/mgmt`;
          expect(endpointOf(matrix, id).verdict).toBe('differs');
          const finding = matrix.findings.find(
            ({ code, subject }) => code === 'wrong-device' && subject === id,
          );
          expect(finding).toMatchObject({ severity: 'stop' });
          expect(finding?.message).toContain(`${id} and ${device}/${there}/mgmt are swapped`);
        }
      });

      it('calls no other device a wrong one', () => {
        expect(found(matrix, 'wrong-device')).toEqual(
          Object.keys(SWAPPED)
            .flatMap((device) => [`${device}/A/mgmt`, `${device}/B/mgmt`])
            .sort(),
        );
      });

      it("does not take the laptop's own answers for the device whose address it has", () => {
        expect(endpointOf(matrix, 'desk/mgmt').verdict).toBe('unproven');
        expect(found(matrix, 'own-address-planned')).toEqual(['desk/mgmt']);
        expect(endpointOf(matrix, 'desk/mgmt').reasons.join(' ')).toContain(LAPTOP);
      });

      it('says that a planned address is the gateway', () => {
        expect(found(matrix, 'address-is-gateway')).toEqual(['edge/mgmt']);
        expect(endpointOf(matrix, 'edge/mgmt').verdict).toBe('matches');
      });

      it('is not fooled by what devices now dark left in the neighbour table', () => {
        // Where the kernel goes on using the fresh row, the echo that it lets through is what stays unanswered.
        for (const name of ['dead', 'gone', 'six-missing'])
          expect(endpointOf(matrix, `${name}/mgmt`)).toMatchObject({
            id: `${name}/mgmt`,
            verdict: 'missing',
          });
        expect(found(matrix, 'endpoint-missing')).toEqual(['dead/mgmt', 'gone/mgmt', 'six-missing/mgmt']);
      });

      it('tells the present from the missing in IPv6', () => {
        expect(endpointOf(matrix, 'six-there/mgmt').verdict).toBe('matches');
        expect(endpointOf(matrix, 'six-missing/mgmt').verdict).toBe('missing');
      });
    });
  });
}
