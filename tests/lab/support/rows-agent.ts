/** Tables that a Linux host has not of itself, served by a real snmpd from rows of a file: a chassis with its serial number, a fabric. */
import { writeFileSync } from 'node:fs';
import path from 'node:path';
import { type LabHost, PROJECT } from './lab.js';

export type Row = readonly [
  oid: string,
  type: 'integer' | 'string' | 'octet' | 'gauge',
  value: string | number,
];

export interface RowsAgent {
  /** Lines for snmpd.conf. */
  readonly lines: readonly string[];
  /** Other rows from now on. */
  set(rows: readonly Row[]): void;
}

/** Asked before snmpd's own modules for these roots. */
export function rowsAgent(
  host: Pick<LabHost, 'lab' | 'name'>,
  roots: readonly string[],
  rows: readonly Row[],
): RowsAgent {
  const file = path.join(host.lab.folder, `rows-${host.name}.json`);
  const script = path.join(PROJECT, 'tests/lab/support/rows-agent.mjs');
  const set = (next: readonly Row[]) => writeFileSync(file, JSON.stringify(next));
  set(rows);
  return {
    lines: roots.map((root) => `pass_persist -p 1 .${root} ${process.execPath} ${script} ${file}`),
    set,
  };
}

/** RFC 6933: entPhysicalClass 3 is chassis; entPhysicalSoftwareRev and entPhysicalSerialNum. */
export const ENTITY = '1.3.6.1.2.1.47';
export function chassisRows(serial: string, software: string): Row[] {
  return [
    [`${ENTITY}.1.1.1.1.5.1`, 'integer', 3],
    [`${ENTITY}.1.1.1.1.10.1`, 'string', software],
    [`${ENTITY}.1.1.1.1.11.1`, 'string', serial],
  ];
}

/** RFC 2863 ifTable and ifXTable; RFC 4044 FC-MGMT-MIB; RFC 2837 FIBRE-CHANNEL-FE-MIB. */
export const FABRIC_ROOTS = ['1.3.6.1.2.1.2', '1.3.6.1.2.1.31', '1.3.6.1.2.1.10.56', '1.3.6.1.2.1.75'];
const IF = '1.3.6.1.2.1.2.2.1';
const IFX = '1.3.6.1.2.1.31.1.1.1';
const MGMT = '1.3.6.1.2.1.10.56.1';
const FE = '1.3.6.1.2.1.75.1';

/** Eight octets, blank separated, as `octet` wants them. */
const octets = (wwpn: string): string => wwpn.replaceAll(':', ' ');

/** Ports `0/0` ... up at 16G (14,025 Mbit/s, as one agent tells it); who is logged in at each, or nobody and the port down. */
export function fabricRows(name: string, logins: readonly (string | undefined)[]): Row[] {
  return [
    [`${MGMT}.1.1.9.1`, 'octet', octets(name)],
    [`${MGMT}.2.1.4.1.1`, 'octet', octets(name)],
    [`${FE}.1.1.0`, 'octet', octets(name)],
    ...logins.flatMap((login, index): Row[] => {
      const [ifIndex, own] = [100 + index, `20:00:00:00:5e:00:53:${(0xa0 + index).toString(16)}`];
      return [
        [`${IF}.1.${ifIndex}`, 'integer', ifIndex],
        // ifType 56 is fibreChannel (IANAifType-MIB).
        [`${IF}.3.${ifIndex}`, 'integer', 56],
        [`${IF}.8.${ifIndex}`, 'integer', login === undefined ? 2 : 1],
        [`${IFX}.1.${ifIndex}`, 'string', `0/${index}`],
        [`${IFX}.15.${ifIndex}`, 'gauge', 14_025],
        [`${MGMT}.3.1.2.${ifIndex}`, 'octet', octets(own)],
        [`${FE}.1.5.1.2.1.${index + 1}`, 'octet', octets(own)],
        [`${FE}.2.2.1.2.1.${index + 1}`, 'integer', login === undefined ? 2 : 1],
        ...(login === undefined
          ? []
          : ([
              [`${MGMT}.9.1.2.${ifIndex}.1`, 'octet', octets(login)],
              [`${FE}.2.3.1.10.1.${index + 1}.1`, 'octet', octets(login)],
            ] satisfies Row[])),
      ];
    }),
  ];
}
