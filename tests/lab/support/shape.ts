/**
 * Holds a value against a sample of the contract: every key of the sample is there with a value of the same type; every element of a list
 * is held against the sample's first. Keys may be added (DESIGN 7).
 */
export function shapeFaults(sample: unknown, actual: unknown, at = '$'): string[] {
  const [wanted, got] = [kindOf(sample), kindOf(actual)];
  if (wanted !== got) return [`${at}: ${got}, not ${wanted}`];
  if (Array.isArray(sample) && Array.isArray(actual))
    return sample.length === 0
      ? []
      : actual.flatMap((one, index) => shapeFaults(sample[0], one, `${at}[${index}]`));
  if (!isRecord(sample) || !isRecord(actual)) return [];
  return Object.entries(sample).flatMap(([key, value]) =>
    Object.hasOwn(actual, key) ? shapeFaults(value, actual[key], `${at}.${key}`) : [`${at}.${key}: absent`],
  );
}

/** Every outcome that is `not-run` and has no reason (DESIGN 7). */
export function notRunWithoutReason(value: unknown, at = '$'): string[] {
  if (Array.isArray(value)) return value.flatMap((one, index) => notRunWithoutReason(one, `${at}[${index}]`));
  if (!isRecord(value)) return [];
  const silent = value.outcome === 'not-run' && (typeof value.reason !== 'string' || value.reason === '');
  const below = Object.entries(value).flatMap(([key, one]) => notRunWithoutReason(one, `${at}.${key}`));
  return silent ? [at, ...below] : below;
}

function isRecord(value: unknown): value is Record<string, unknown> {
  return kindOf(value) === 'object';
}

function kindOf(value: unknown): string {
  return Array.isArray(value) ? 'list' : value === null ? 'null' : typeof value;
}
