import type { Programs } from '../probe/types.js';

/** PowerShell needs a second or more to start on a cold laptop. */
const TIMEOUT_MS = 20_000;
/**
 * Without this, names with letters beyond ASCII come in the console's code page. Constrained language mode forbids it and lets the
 * cmdlets through (from memory), so a refusal counts for nothing.
 */
const UTF8 = 'try{[Console]::OutputEncoding=[Text.Encoding]::UTF8}catch{};';

/** Runs one read-only PowerShell line without the user's profile. The execution policy is for script files and so plays no part. */
export async function powershell(
  programs: Programs,
  line: string,
): Promise<{ readonly ok: true; readonly text: string } | { readonly ok: false; readonly reason: string }> {
  const args = ['-NoLogo', '-NoProfile', '-NonInteractive', '-Command', UTF8 + line];
  const result = await programs.run('powershell.exe', args, { timeoutMs: TIMEOUT_MS });
  if (!result.ran)
    return {
      ok: false,
      reason: result.why === 'not-found' ? 'PowerShell is not installed' : 'PowerShell may not be run here',
    };
  if (result.timedOut) return { ok: false, reason: 'PowerShell did not end in time' };
  return result.exitCode === 0
    ? { ok: true, text: result.stdout }
    : { ok: false, reason: `PowerShell ended with status ${result.exitCode ?? 'unknown'}` };
}
