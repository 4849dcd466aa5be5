/** Head of the page. The content-security policy lets nothing in but the page's own style and script, each named by its hash. */
import { createHash } from 'node:crypto';
import { text } from './markup.js';

/** Two strokes scribed across a joint. */
const ICON =
  "data:image/svg+xml,%3Csvg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 16 16'%3E%3Crect width='16' height='16' fill='%2317407f'/%3E%3Cpath d='M0 8h16M6 3l-1 10M11 3l-1 10' stroke='%23fff' stroke-width='1.5'/%3E%3C/svg%3E";

export function headMarkup(title: string, style: string, script: string): string {
  const policy = [
    "default-src 'none'",
    `style-src '${hashSource(style)}'`,
    `script-src '${hashSource(script)}'`,
    'img-src data:',
    "base-uri 'none'",
    "form-action 'none'",
  ].join('; ');
  return `<head><meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<meta name="viewport" content="width=device-width, initial-scale=1"><meta name="referrer" content="no-referrer"><meta name="robots" content="noindex">
<title>${text(title)}</title><link rel="icon" href="${ICON}">
<style>${style}</style></head>`;
}

/** Hash source of CSP Level 3 §2.3.1: base64 of the SHA-256 of the element's text. */
export function hashSource(content: string): string {
  return `sha256-${createHash('sha256').update(content, 'utf8').digest('base64')}`;
}
