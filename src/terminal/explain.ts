import { exampleOf } from '../findings/examples/index.js';
import { type RuleText, ruleCodes, ruleOf } from '../findings/rule-of.js';
import { ink, type TextStyle } from './style.js';
import { padTo, wrap } from './wrap.js';

const FAMILIES = [
  { family: 'plan', title: 'Known from the plan alone' },
  { family: 'site', title: 'Seen on the network' },
  { family: 'redundancy', title: 'Computed for the redundancy groups' },
] as const;

const SEVERITIES = {
  stop: 'stop: do not go on, make it safe first',
  fix: 'fix: before handover',
  note: 'note: worth knowing',
} as const;

/** One code in full: what it looks like, what it means, why it matters, how it was seen, what to do. */
export function renderExplanation(code: string, rule: RuleText, style: TextStyle): string {
  const { means, matters, seen, todo } = rule.explain;
  const part = (title: string, text: string): string =>
    `${ink(style, title, 'bold')}\n${wrap(style, text.replaceAll('`', ''), '  ')}`;
  const example = exampleOf(code);
  return [
    `${ink(style, rule.title, 'bold')} (${code})\n${SEVERITIES[rule.severity]}\n`,
    ...(example === undefined
      ? []
      : [`${part('What it looks like', example.message)}${wrap(style, example.advice, '  Do: ')}`]),
    part('What it means', means),
    part('Why it matters', matters),
    part('How it was seen', seen),
    part('What to do', todo),
  ].join('\n');
}

/** Every code with its title, by family. */
export function renderCodes(style: TextStyle): string {
  const widest = Math.max(...ruleCodes().map((code) => code.length));
  const blocks = FAMILIES.map(({ family, title }) => {
    const lines = ruleCodes().flatMap((code) => {
      const rule = ruleOf(code);
      if (rule?.family !== family) return [];
      return [wrap(style, rule.title, `  ${padTo(code, widest)}  ${padTo(rule.severity, 4)}  `)];
    });
    return `${ink(style, title, 'bold')}\n${lines.join('')}`;
  });
  return `${blocks.join('\n')}\n${wrap(style, 'matchmark explain CODE tells what one means, why it matters, how it was seen and what to do.')}`;
}
