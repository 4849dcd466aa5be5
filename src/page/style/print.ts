import { cleanText } from '../../text/clean.js';

/**
 * Print: the paper the user chose (A4 or Letter), page numbers in the margin, the first sheet alone, nothing filtered away, and readable when
 * the printer has black alone. The appendix is printed only when it is open. `footer` stands at the foot of every page.
 */
export function printStyle(footer: string): string {
  return `
@page{margin:15mm 13mm 17mm;@bottom-left{content:${cssString(footer)};font:7.5pt system-ui,sans-serif}@bottom-right{content:"page " counter(page) " of " counter(pages);font:7.5pt system-ui,sans-serif}}
@media print{
:root{--paper:#fff;--ink:#000;--dim:#333;--rule:#555;--faint:#aaa;--dye:#000;--red:#000;--redbg:#fff;--umber:#000;--hatch:#fff;--head:#fff}
html{font-size:9pt;line-height:1.3}body{padding:0;max-width:none}
nav,.skip,.filter,.site-words,footer .screen{display:none!important}
footer p{margin:.2rem 0 0}
a{text-decoration:none;color:inherit}
.first{break-after:page}
.sheet{margin-bottom:.6rem}.sheet h1{font-size:1.25rem;padding:.35rem .6rem 0}.sheet>p{padding:0 .6rem .25rem}.sheet dl{grid-template-columns:repeat(4,1fr)}.sheet dl div{padding:.15rem .6rem .2rem}
.outcome{margin:.5rem 0;border-color:#000}.outcome h2{font-size:1.2rem;max-width:none}.outcome p{max-width:none;font-size:.92em;margin:.2rem 0 0}
.overview{margin:.4rem 0 0}.site svg,.site svg.mosaic{max-width:100%}.legend{font-size:.8rem;margin:.1rem 0}
.first h3{margin:.5rem 0 .1rem}.first p{margin:.15rem 0}
.job-lines li{white-space:nowrap;overflow:hidden;text-overflow:ellipsis;padding:.04rem 0}
.first .plain{font-size:.9em;width:100%}.groups-table th:nth-child(1){width:27%}.groups-table th:nth-child(3){width:15%}.groups-table th:nth-child(5){width:9%}.first .plain th,.first .plain td{padding:.08rem .35rem}
.signatures{margin-top:.4rem}.signatures .aside{font-size:.8em}
.board,.wide{overflow:visible;max-height:none;border:0}
.wide .plain{max-width:100%}.wide .plain th,.wide .plain td{min-width:0}
.part,.group,.ev{content-visibility:visible}
details:not(#appendix)::details-content{content-visibility:visible!important;block-size:auto!important;opacity:1}
#appendix:not([open]){display:none}#appendix>summary .aside{display:none}
summary{list-style:none;break-after:avoid}
h2,h3,h4,h5,caption,.caution,.worksheet>p,#groups>.legend{break-after:avoid}
main>section>h2,#appendix{margin-top:1.2rem}main>section>h2{padding-top:.7rem;background-size:.35rem .55rem;background-position:3.3rem 0,3.65rem 0;margin-bottom:.5rem;print-color-adjust:exact;-webkit-print-color-adjust:exact}
.first+section>h2{margin-top:0}
.item,tr,.keep,.rack,svg,.caution,.outcome,.sheet,.signatures,.words div{break-inside:avoid}
.group{margin-bottom:.7rem}.group h3{margin:.7rem 0 .2rem}.paths{margin:.2rem 0}.losses{margin:.2rem 0}
.matrix thead{position:static;display:table-header-group}
.matrix{min-width:0;font-size:6.9pt;line-height:1.2;table-layout:auto}.matrix tbody td,.matrix tbody th[scope=row]{overflow-wrap:break-word}
.matrix thead th,.plain thead th{border-bottom:1.5px solid #000;border-top:1.5px solid #000}
.matrix col{width:auto!important}
.matrix th,.matrix td{padding:.1rem .17rem}.matrix th[scope=row] small{font-size:.95em}.matrix td small{padding-left:0}
.matrix .g{break-after:avoid}.matrix .g th{padding-top:.25rem}
.matrix th[scope=row],.matrix .port,.matrix .g span{position:static}
.matrix b{display:inline;padding:0 .15em}.matrix td.p b{display:inline-block;padding:0}.matrix td.p{font-size:0}.matrix td.p b,.matrix td.m.p::before{font-size:6.9pt}.matrix td.m.p::before{content:"="}
.matrix td.d,.matrix td.x{font-weight:650}.matrix td.d .k{white-space:normal}
.matrix td.d b,.matrix td.x b,.stop .sev,.job-lines .stop b{color:#fff;background:#000;border-color:#000;print-color-adjust:exact;-webkit-print-color-adjust:exact}
.mosaic .cell,.cross,.legend .cell{print-color-adjust:exact;-webkit-print-color-adjust:exact}
.plain .blank{height:.95rem}.plain{font-size:.88em}.plain th,.plain td{padding:.12rem .35rem}
.items{margin:0}.worksheet{margin:.5rem 0}
.item .tick{display:block}
.item{grid-template-columns:minmax(0,6fr) minmax(0,5fr) 5rem;gap:0 1rem;padding:.25rem 0 .3rem}.item .what,.item .foot{grid-column:1/3}.item>.left{grid-column:1;padding-left:2.2rem}.item>.do{grid-column:2;padding:0}.item .foot{padding:.1rem 0 0 2.2rem}.item .tick{grid-column:3;grid-row:1/span 3;padding-left:.6rem}.item .ini{height:1.4rem}
.item p{margin:.1rem 0}.follows ul{margin:0}.follows li{padding:0}.follows .msg,.seen li:nth-child(n+3){display:none}.notes ul{margin:0}
.paper{display:block}
svg{max-width:100%;height:auto}svg.paths{max-width:78%}
.words{grid-template-columns:1fr 1fr 1fr;gap:0 1.2rem;font-size:.86em}.words div{padding:.08rem 0}.words dt,.words dd{display:inline}.words dt::after{content:": "}
.caution{font-size:.85em;padding:.15rem .5rem}
#evidence{columns:2;column-gap:7mm}.ev{font-size:7.5pt;line-height:1.25}.ev .s,.ev .plain{break-inside:avoid}.ev p,.ev ul{margin:.15rem 0}.ev .plain{font-size:1em}.ev .plain th,.ev .plain td{padding:.1rem .2rem}
.signing{break-inside:avoid;width:100%;table-layout:fixed}.signing thead th:first-child{width:5.6rem}.signing .blank{height:1.25rem}.signing tbody tr:nth-child(2) .blank{height:2.1rem}
}
`;
}

/** A CSS string that can hold anything: all but plain letters, digits and blanks is escaped by code point (CSS Syntax Level 3 §4.3.7). */
function cssString(value: string): string {
  const escaped = cleanText(value, 120).replace(
    /[^A-Za-z0-9 ]/gu,
    (character) => `\\${(character.codePointAt(0) ?? 0xfffd).toString(16)} `,
  );
  return `"${escaped}"`;
}
