/** Equipment lists for the tests of the draft, read as a file would be. */
import { assembleEquipment, type Equipment } from '../../src/plan-file/equipment.js';
import { Issues } from '../../src/plan-file/issues.js';
import { readEquipmentText } from '../../src/plan-file/plan-text.js';
import { lines } from '../plan-file/helpers.js';

export function equipmentOf(text: string): Equipment {
  const issues = new Issues();
  const read = readEquipmentText(text, 'equipment.yaml', issues);
  const equipment = read && assembleEquipment(read.written, read.locate, 'equipment', issues);
  if (equipment === undefined || issues.hasErrors) throw new Error(lines(issues.all).join('\n'));
  return equipment;
}
