import type { Programs } from '../system/program-types.js';
import {
  type ArpingFlavour,
  arpingArguments,
  arpingProbeArguments,
  parseArpingOutput,
} from './arping-output.js';
import { type AddressRecord, addClaim } from './record.js';

/** Questions to all, one second apart; the second finds devices that take turns. */
const ARPING_QUESTIONS = 2;
const TIMEOUT_MS = 6000;

/** Asks by the arping program and takes every answer it lists. Never rejects. */
export async function askByArping(
  record: AddressRecord,
  flavour: ArpingFlavour,
  programs: Programs,
  signal: AbortSignal,
): Promise<void> {
  const { address, port, ownMac } = record;
  const args =
    ownMac === undefined
      ? arpingArguments(flavour, port, address, ARPING_QUESTIONS)
      : arpingProbeArguments(flavour, port, address);
  const result = await programs.run('arping', args, { timeoutMs: TIMEOUT_MS, signal });
  if (!result.ran || result.timedOut) return;
  const answers = parseArpingOutput(result.stdout, address);
  // Status 0 and 1 are "answered" and "not answered" in all three (the other way round with -D): anything else is a failure.
  if (answers.length === 0 && result.exitCode !== 0 && result.exitCode !== 1) return;
  record.methods.add('arping');
  record.asked += ARPING_QUESTIONS;
  record.arpingQuestions += ARPING_QUESTIONS;
  for (const answer of answers) {
    if (answer.mac !== ownMac) addClaim(record, { ...answer, method: 'arping' });
  }
}
