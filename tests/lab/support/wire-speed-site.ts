/** A /24 with 20 devices that answer by HTTPS and SSH and 230 planned addresses that nobody has. */
import { mkdirSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { Lab, type LabHost } from './lab.js';
import { makeCertificate, startEquipment } from './services.js';

export interface SpeedSite {
  readonly lab: Lab;
  readonly laptop: LabHost;
  readonly planFile: string;
  /** The present ones alone, and with one absent. */
  readonly presentPlanFile: string;
  readonly oneAbsentPlanFile: string;
}

export const PRESENT = Array.from({ length: 20 }, (_, index) => `192.0.2.${12 + index * 12}`);
const PLANNED = [...Array(254).keys()]
  .map((index) => `192.0.2.${index + 1}`)
  .filter((each) => each !== '192.0.2.5');
export const ABSENT = PLANNED.filter((each) => !PRESENT.includes(each)).slice(0, 230);

export async function buildSpeedSite(): Promise<SpeedSite> {
  const lab = new Lab();
  try {
    const bench = await lab.addSwitch('bench');
    const laptop = await lab.addHost('laptop', [
      { switch: bench, name: 'eth0', addresses: ['192.0.2.5/24'] },
    ]);
    const tls = await makeCertificate(lab, 'press.example');
    await Promise.all(
      PRESENT.map(async (address, index) => {
        const box = await lab.addHost(`press-${index + 1}`, [
          { switch: bench, name: 'eth0', addresses: [`${address}/24`] },
        ]);
        await startEquipment(box, {
          web: [{ port: 443, tls, title: 'console' }],
          lines: [{ port: 22, line: 'SSH-2.0-Example' }],
        });
      }),
    );
    return {
      lab,
      laptop,
      planFile: writePlan(lab, 'all', [...PRESENT, ...ABSENT]),
      presentPlanFile: writePlan(lab, 'present', PRESENT),
      oneAbsentPlanFile: writePlan(lab, 'one-absent', [...PRESENT, ...ABSENT.slice(0, 1)]),
    };
  } catch (error) {
    await lab.remove();
    throw error;
  }
}

function writePlan(lab: Lab, name: string, addresses: readonly string[]): string {
  const folder = path.join(lab.folder, 'plan');
  mkdirSync(folder, { recursive: true });
  const file = path.join(folder, `${name}.csv`);
  const rows = addresses.map(
    (address, index) => `press-${index + 1},mgmt,management,${address}/24,https ssh`,
  );
  writeFileSync(file, `${['device,port,role,address,services', ...rows].join('\n')}\n`);
  return file;
}
