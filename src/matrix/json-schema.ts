/** JSON Schema of matrix.json for those who load results elsewhere, made from the schema that reads them back. */
import { z } from 'zod';
import { matrixSchema } from './schema.js';

export function matrixJsonSchema(): object {
  return {
    ...z.toJSONSchema(matrixSchema, {
      io: 'input',
      target: 'draft-07',
      unrepresentable: 'any',
      reused: 'ref',
    }),
    title: 'Matchmark result (matrix.json)',
  };
}
