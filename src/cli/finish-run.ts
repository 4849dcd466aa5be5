/** What ends every command that makes a result: both documents, the summary, the exit status. */
import { createHash } from 'node:crypto';
import path from 'node:path';
import { jsonChunks } from '../files/json-chunks.js';
import { writeTogether } from '../files/whole.js';
import type { Matrix } from '../matrix/matrix.js';
import { pageParts } from '../page/render.js';
import { exitStatusOf } from '../result/summary.js';
import { renderSummary } from '../terminal/summary.js';
import { type CliDeps, type CommonOptions, EXIT, textStyle } from './common.js';
import { shownPath } from './files.js';
import { writeOpenFindings } from './quiet.js';

export async function writeRun(matrix: Matrix, folder: string): Promise<{ readonly page: string }> {
  const hash = createHash('sha256');
  const page = path.join(folder, 'matrix.html');
  await writeTogether([
    { file: path.join(folder, 'matrix.json'), chunks: () => hashed(jsonChunks(matrix), hash) },
    { file: page, chunks: () => pageParts(matrix, { digest: hash.digest('hex') }) },
  ]);
  return { page };
}

function* hashed(chunks: Iterable<string>, hash: ReturnType<typeof createHash>): Generator<string> {
  for (const chunk of chunks) {
    hash.update(chunk);
    yield chunk;
  }
}

/** `silent`: standard output has another owner. */
export async function finishRun(
  matrix: Matrix,
  folder: string,
  options: CommonOptions & { readonly silent?: boolean },
  deps: CliDeps,
): Promise<number> {
  const { page } = await writeRun(matrix, folder);
  if (options.json) for (const chunk of jsonChunks(matrix)) deps.stdout.document(chunk);
  else if (options.quiet) writeOpenFindings(matrix.findings, deps);
  else if (!options.silent) deps.stdout.write(renderSummary(matrix, textStyle(deps.stdout, deps)));
  if (!options.quiet) deps.stderr.write(`Page: ${shownPath(page, deps.cwd)} (matrix.json beside it)\n`);
  if (!matrix.run.complete) {
    deps.stderr.write(cutShort(deps.signal.aborted, shownPath(folder, deps.cwd)));
    return deps.signal.aborted ? EXIT.interrupted : EXIT.incomplete;
  }
  return exitStatusOf(matrix.findings);
}

function cutShort(interrupted: boolean, folder: string): string {
  const rest = 'What was seen so far is written; the rest is not tested.\n';
  if (interrupted) return `Interrupted. ${rest}`;
  const next = `Let more files be open (ulimit -n 1024) or close other programs; "matchmark check --resume ${folder}" asks the rest.\n`;
  return `This laptop ran out of open files, sockets or memory. ${rest}  ${next}`;
}
