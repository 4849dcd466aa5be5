import path from 'node:path';
import { orderFindings } from '../findings/order.js';
import { renderReviewPage } from '../page/review-page.js';
import { exitStatusOf, summarise } from '../result/summary.js';
import { visitList } from '../review/packing.js';
import { fullReview } from '../run/run.js';
import { renderReview } from '../terminal/review.js';
import { type CommonOptions, textStyle } from './common.js';
import { defineCommand } from './define-command.js';
import { endable } from './endable.js';
import { prepareFolder, shownPath, writeWhole } from './files.js';
import { readPlan } from './plan-input.js';
import { secretSources, sourceLines } from './plan-trust.js';
import { writeOpenFindings } from './quiet.js';
import { VERSION } from './version.js';

const EXAMPLES = `
Examples:
  matchmark review plan.yaml           everything that can be known wrong before anyone drives to the site
  matchmark review address-list.xlsx   the same for an address list alone
  matchmark review plan.yaml --out before    and write before/review.html, with what to decide, free and bring
  matchmark review plan.yaml --json    findings, groups as planned and capacity, for a program

An address list needs the columns device, port and address; fixtures/plans has annotated examples of all the rest.
Nothing is sent to any network.
`;

export const registerReview = defineCommand({
  name: 'review',
  summary: 'the plan alone, offline: what is wrong before anyone drives to the site',
  description: 'Reads the plan and shows everything that can be known wrong offline, worst first.',
  examples: EXAMPLES,
  shape: (command) => command.argument('<plan>', 'plan (YAML, JSON) or address list (CSV, XLSX)'),
  work: async (deps, file: string, options: CommonOptions) => {
    const plan = await readPlan(file, deps, options.quiet === true);
    const secrets = await secretSources(plan, path.resolve(deps.cwd, file));
    if (options.quiet !== true) for (const line of sourceLines(secrets)) deps.stderr.write(`note: ${line}\n`);
    const { review, visit, html } = await endable(deps, async () => {
      const reviewed = fullReview(plan);
      const { name: site, reference } = plan.site;
      const look = visitList(plan);
      const page = {
        ...reviewed,
        findings: orderFindings(reviewed.findings),
        ...{ site, reference, visit: look, version: VERSION, files: plan.files },
      };
      return { review: reviewed, visit: look, html: options.out === undefined ? '' : renderReviewPage(page) };
    });
    const findings = orderFindings(review.findings);
    const result = {
      format: 'matchmark.review/1',
      version: VERSION,
      plan: { site: plan.site.name, files: plan.files },
      findings,
      groups: review.groups,
      capacity: review.capacity,
      secrets,
      summary: summarise([], findings),
    };
    const json = `${JSON.stringify({ ...result, visit }, null, 1)}\n`;
    if (options.out !== undefined) {
      const folder = path.resolve(deps.cwd, options.out);
      await prepareFolder(folder);
      await writeWhole(path.join(folder, 'review.json'), json);
      const page = path.join(folder, 'review.html');
      await writeWhole(page, html);
      if (options.quiet !== true)
        deps.stderr.write(`Written: ${shownPath(page, deps.cwd)} (review.json beside it)\n`);
    }
    if (options.json) deps.stdout.document(json);
    else if (options.quiet) writeOpenFindings(findings, deps);
    else
      deps.stdout.write(
        renderReview(
          { site: plan.site.name, findings, capacity: review.capacity, groups: review.groups, visit },
          textStyle(deps.stdout, deps),
        ),
      );
    return exitStatusOf(findings);
  },
});
