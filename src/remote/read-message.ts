/** One line of another place as a value, where it is one of ours: begun with the nonce, cleaned, held to the schema. Pure. */
import type { z } from 'zod';
import { cleanAll } from './accept.js';

export function readMessage<T>(line: string, nonce: string, schema: z.ZodType<T>): T | undefined {
  if (!line.startsWith(`${nonce} `)) return undefined;
  try {
    const read = schema.safeParse(cleanAll(JSON.parse(line.slice(nonce.length + 1))));
    return read.success ? read.data : undefined;
  } catch {
    return undefined;
  }
}
