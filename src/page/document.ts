/** The shell of every page of ours: one HTML document that needs nothing beside itself. */
import { headMarkup } from './head.js';
import { text } from './markup.js';

export interface Section {
  readonly id: string;
  readonly title: string;
  readonly body: string;
  readonly className?: string;
}

export interface DocumentParts {
  readonly title: string;
  readonly style: string;
  readonly script: string;
  /** Markup above all sections: the first sheet. */
  readonly first: string;
  readonly sections: readonly Section[];
  /** Markup after them: what is folded. */
  readonly after?: string;
  /** Anchors of `after`, for the contents. */
  readonly afterLinks?: readonly { readonly id: string; readonly title: string }[];
  readonly version: string;
}

/** Sections without a body are left out. They are numbered; so is nothing else, so that "part 2" has one meaning. */
export function documentMarkup(parts: DocumentParts): string {
  const { title, style, script, first, after = '', afterLinks = [], version } = parts;
  const sections = parts.sections.filter(({ body }) => body !== '');
  const body = sections.map((section, index) => sectionMarkup(section, index + 1)).join('\n');
  const contents = [
    ...sections.map(({ id, title: heading }, index) => `<a href="#${id}">${index + 1} ${heading}</a>`),
    ...afterLinks.map(({ id, title: heading }) => `<a href="#${id}">${heading}</a>`),
  ]
    .map((link) => `<li>${link}</li>`)
    .join('');
  return `<!doctype html>
<html lang="en">${headMarkup(title, style, script)}
<body><a class="skip" href="#main">Skip to the outcome</a>
${contents === '' ? '' : `<nav aria-label="Contents"><ol>${contents}</ol></nav>`}
<main id="main">
${first}
${body}
${after}
</main>
<footer><p class="aside">Made by Matchmark ${text(version, 40)}. <span class="screen">This page needs no network and no script.</span></p></footer>
${script === '' ? '' : `<script>${script}</script>`}</body></html>
`;
}

function sectionMarkup({ id, title, body, className }: Section, number: number): string {
  return `<section id="${id}" aria-labelledby="${id}-h"${className === undefined ? '' : ` class="${className}"`}><h2 id="${id}-h"><span class="sn">${number}</span> ${title}</h2>
${body}</section>`;
}
