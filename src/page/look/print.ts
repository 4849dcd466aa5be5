import { cleanText } from '../../text/clean.js';
import { COLUMN_WIDTHS } from './tables.js';

/**
 * Print: the paper the user chose (A4 or Letter), page numbers in the margin, everything folded open, nothing filtered away, and readable
 * when the printer has black alone. `footer` stands at the foot of every page.
 */
export function printLook(footer: string, vantages: number): string {
  return `
@page{margin:15mm 13mm 17mm;@bottom-left{content:${cssString(footer)};font:7.5pt system-ui,sans-serif}@bottom-right{content:"page " counter(page) " of " counter(pages);font:7.5pt system-ui,sans-serif}}
@page across{size:landscape}
@media print{
:root{--paper:#fff;--ink:#000;--dim:#333;--rule:#555;--faint:#aaa;--dye:#000;--red:#000;--redbg:#fff;--umber:#000;--hatch:#fff;--head:#fff}
.sheet dl{grid-template-columns:repeat(3,1fr)}
html{font-size:9pt}body{padding:0;max-width:none}
nav,.skip,.filter{display:none!important}
a{text-decoration:none}
.board,.wide{overflow:visible;max-height:none;border:0}
.wide .plain{max-width:100%}.wide .plain th,.wide .plain td{min-width:0}
.part,.group,.ev{content-visibility:visible}
details::details-content{content-visibility:visible!important;block-size:auto!important;opacity:1}
summary{list-style:none;break-after:avoid}
.across{page:across}
h2,h3,caption,.caution{break-after:avoid}
h2{margin-top:1.6rem}
.item,tr,.keep,.rack,svg,.caution,.outcome,.sheet,#sign-off{break-inside:avoid}
#sign-off{break-before:auto}
.matrix thead{position:static;display:table-header-group}
.matrix{min-width:0;font-size:${vantages > 2 ? '6pt' : '7.5pt'}}
.matrix thead th,.plain thead th{border-bottom:1.5px solid #000;border-top:1.5px solid #000}
${shares(vantages)}
.matrix th,.matrix td{padding:.15rem .2rem}
.matrix th[scope=row] small{font-size:.9em}
.matrix .g{break-after:avoid}
.matrix th[scope=row],.matrix .port,.matrix .g span{position:static}
.matrix td.d,.matrix td.x{font-weight:650}
.matrix td.d b,.matrix td.x b,.stop .sev{color:#fff;background:#000;border-color:#000;print-color-adjust:exact;-webkit-print-color-adjust:exact}
.item .tick{display:block}
.item{grid-template-columns:minmax(0,6fr) minmax(0,5fr) 5.5rem;gap:0 1rem;padding:.3rem 0 .35rem}.item .what,.item .foot{grid-column:1/3}.item>.left{grid-column:1;padding-left:2.2rem}.item>.do{grid-column:2;padding:0}.item .foot{padding-left:2.2rem}.item .tick{grid-column:3;grid-row:1/span 3;padding-left:.6rem}
.follows .foot{display:block}.follows summary{font-weight:600;padding:.1rem 0}.follows details{font-size:.92em}
.paper{display:block}
svg{max-width:100%;height:auto}
#evidence{columns:2;column-gap:7mm}#evidence h2,#evidence .paper{column-span:all}.ev{font-size:7.5pt;line-height:1.25}.ev div>.s:first-child{break-after:avoid}.ev details.m,.ev .s,.ev .plain{break-inside:avoid}.ev details>div{padding:0 0 .4rem 0}
.ev p,.ev ul{margin:.15rem 0}.ev .m .w,.ev .m .bk{display:none}.ev .m>div{padding-bottom:.15rem}.ev .m p{margin:0}.ev .plain{font-size:1em}.ev .plain thead th,.ev .plain th{overflow-wrap:break-word}.ev .plain th,.ev .plain td{padding:.1rem .2rem}
.signing{break-inside:avoid;width:100%}.signing .blank{height:3rem}
}
`;
}

/** On paper the matrix takes the width of the sheet, whatever the number of vantages. */
function shares(vantages: number): string {
  const heads = vantages > 2 ? [7.5, 6.5] : vantages > 1 ? [9, 9] : [11, 13];
  const left = 100 - heads.reduce((sum, share) => sum + share, 0);
  const whole = COLUMN_WIDTHS.reduce((sum, width) => sum + width, 0) * Math.max(1, vantages);
  const rules = COLUMN_WIDTHS.map(
    (width, index) => `.matrix .p${index}{width:${((left * width) / whole).toFixed(2)}%}`,
  );
  return `.matrix .c1{width:${heads[0]}%}.matrix .c2{width:${heads[1]}%}${rules.join('')}`;
}

/** A CSS string that can hold anything: all but plain letters, digits and blanks is escaped by code point (CSS Syntax Level 3 §4.3.7). */
export function cssString(value: string): string {
  const escaped = cleanText(value, 120).replace(
    /[^A-Za-z0-9 ]/gu,
    (character) => `\\${(character.codePointAt(0) ?? 0xfffd).toString(16)} `,
  );
  return `"${escaped}"`;
}
