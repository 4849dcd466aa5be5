import type { EquipmentResult, Matrix } from '../matrix/matrix.js';
import { equipmentOf } from './equipment.js';

/** The equipment as the result has it; a result of an older version has none, and it is made from what was seen. */
export function equipmentRecord(
  matrix: Pick<Matrix, 'equipment' | 'endpoints' | 'plan'>,
): readonly EquipmentResult[] {
  return matrix.equipment.length > 0 ? matrix.equipment : equipmentOf(matrix.plan.model, matrix.endpoints);
}
