/** JSON Schema for editors, made from the schemas that read the files. */
import { z } from 'zod';
import { equipmentSchema, planSchema } from './schema.js';

export function planJsonSchema(): object {
  return generate(planSchema, 'Matchmark plan');
}

export function equipmentJsonSchema(): object {
  return generate(equipmentSchema, 'Matchmark equipment list');
}

function generate(schema: z.ZodType, title: string): object {
  return {
    ...z.toJSONSchema(schema, { io: 'input', target: 'draft-07', override: collapse, reused: 'inline' }),
    title,
  };
}

/** `anyOf` of bare types reads better as a list of types. */
function collapse({ jsonSchema }: { jsonSchema: z.core.JSONSchema.BaseSchema }): void {
  const types = jsonSchema.anyOf?.map((one) => (Object.keys(one).join() === 'type' ? one.type : undefined));
  if (types === undefined || !types.every((type) => typeof type === 'string')) return;
  delete jsonSchema.anyOf;
  Object.assign(jsonSchema, { type: types });
}
