import { MatchmarkError } from '../errors.js';
import { exampleOf } from '../findings/examples/index.js';
import { type RuleText, ruleCodes, ruleOf } from '../findings/rule-of.js';
import { renderCodes, renderExplanation } from '../terminal/explain.js';
import { cleanText } from '../text/clean.js';
import { nearestWord } from '../text/nearest.js';
import { list } from '../text/sentence.js';
import { type CliDeps, type CommonOptions, EXIT, textStyle } from './common.js';
import { defineCommand } from './define-command.js';

const EXAMPLES = `
Examples:
  matchmark explain                     every finding code, with its title
  matchmark explain duplicate-address   what it means, why it matters, how it was seen, what to do
  matchmark explain single-point --json the same for a program
`;

export const registerExplain = defineCommand({
  name: 'explain',
  summary: 'what a finding code means, why it matters and what to do',
  description:
    'Explains a finding code; without a code, lists them all. Made from the table of rules itself.',
  examples: EXAMPLES,
  shape: (command) => command.argument('[code]', 'code of a finding, as in brackets behind it'),
  work: async (deps, code: string | undefined, options: CommonOptions) => {
    deps.stdout.document(code === undefined ? allCodes(options, deps) : oneCode(code, options, deps));
    return EXIT.clean;
  },
});

function allCodes(options: CommonOptions, deps: CliDeps): string {
  if (options.json !== true) return renderCodes(textStyle(deps.stdout, deps));
  return toJson(ruleCodes().flatMap((code) => describe(code, ruleOf(code))));
}

function oneCode(given: string, options: CommonOptions, deps: CliDeps): string {
  const code = given.trim().toLowerCase();
  const rule = ruleOf(code);
  if (rule === undefined) throw unknownCode(code);
  if (options.json === true) return toJson(describe(code, rule)[0]);
  return renderExplanation(code, rule, textStyle(deps.stdout, deps));
}

function describe(code: string, rule: RuleText | undefined): readonly object[] {
  if (rule === undefined) return [];
  const { severity, family, title, explain } = rule;
  return [{ code, severity, family, title, ...explain, example: exampleOf(code)?.message ?? '' }];
}

function unknownCode(code: string): MatchmarkError {
  const near = nearestWord(code, ruleCodes());
  const words = code.split('-').filter((word) => word.length > 3);
  const sharing = ruleCodes().filter((known) => words.some((word) => known.split('-').includes(word)));
  const suggestions = near === undefined ? sharing : [near];
  const next =
    suggestions.length > 0
      ? `Did you mean ${list(suggestions, 6, 'or')}?`
      : 'Run matchmark explain without a code to see them all.';
  return new MatchmarkError('usage', `there is no finding code "${cleanText(code, 60)}"`, { next });
}

function toJson(value: unknown): string {
  return `${JSON.stringify(value, null, 1)}\n`;
}
