/** The commands that the README tells people to type. */
import { readFileSync } from 'node:fs';

const README = readFileSync(new URL('../../../README.md', import.meta.url), 'utf8');

/** Lines of every code block of this language (`sh`, `powershell`), a list a block. */
export function blocksOf(language: string): readonly (readonly string[])[] {
  const fences = README.matchAll(new RegExp(`^\`\`\`${language}\\n([\\s\\S]*?)^\`\`\`$`, 'gm'));
  return [...fences].map(([, block = '']) => block.trimEnd().split('\n'));
}
