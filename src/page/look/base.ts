/**
 * The look is that of a fitter's inspection sheet: a title block as on a drawing, ruled lines, and the match mark (two strokes scribed across
 * a joint) over each section. Layout blue is the one ink besides black; red pencil is for what is wrong. Colour never stands alone.
 */
export const BASE = `
:root{color-scheme:light dark;--paper:#fcfcf8;--ink:#15191e;--dim:#454c54;--rule:#8b939b;--faint:#d5d8d6;--dye:#17407f;--red:#98200f;--redbg:#f8e9e4;--umber:#654600;--hatch:#e9e4d3;--head:#eceee9}
@media screen and (prefers-color-scheme:dark){:root{--paper:#11161d;--ink:#e8ebee;--dim:#b3bcc6;--rule:#66717d;--faint:#2c353f;--dye:#a3c3f7;--red:#ffab98;--redbg:#35201d;--umber:#edc978;--hatch:#2b2820;--head:#1d252e}}
*{box-sizing:border-box}
html{background:var(--paper);color:var(--ink);font:1rem/1.45 system-ui,"Segoe UI",sans-serif;font-variant-numeric:tabular-nums;scroll-padding-top:1rem}
@media (prefers-reduced-motion:no-preference){html{scroll-behavior:smooth}}
body{margin:0 auto;padding:1rem clamp(.75rem,2.5vw,2.5rem) 4rem;max-width:118rem}
a{color:var(--dye);text-underline-offset:.15em}
a:focus-visible,summary:focus-visible,input:focus-visible,select:focus-visible,[tabindex]:focus-visible{outline:3px solid var(--dye);outline-offset:2px}
.skip{position:absolute;left:-99rem}.skip:focus{left:1rem;top:1rem;background:var(--paper);padding:.5rem;z-index:9}
code{font:.92em/1.4 ui-monospace,"Cascadia Mono",Consolas,"DejaVu Sans Mono",monospace;overflow-wrap:anywhere}
code.k{white-space:nowrap}
small{font-size:.85em;color:var(--dim)}
h1,h2,h3{line-height:1.2;text-wrap:balance;overflow-wrap:anywhere}
h1{font-size:1.35rem;margin:0;letter-spacing:.01em}
h2{position:relative;font-size:1.2rem;margin:3rem 0 1rem;padding-top:.85rem;border-top:2px solid var(--ink)}
h2::before,h2::after{content:"";position:absolute;top:-.62rem;left:3.4rem;height:1.15rem;border-left:2px solid var(--dye);transform:skewX(-14deg)}
h2::after{left:3.9rem}
h2 .sn{display:inline-block;min-width:2.1rem;color:var(--dim);font-weight:400}
h3{font-size:1.02rem;margin:1.6rem 0 .5rem}
p{margin:.4rem 0;max-width:76ch}
ul{margin:.4rem 0;padding-left:1.2rem;max-width:90ch}
.sheet{border:2px solid var(--ink);margin:0 0 1.2rem}
.sheet h1{padding:.7rem .8rem;border-bottom:1px solid var(--ink)}
.sheet dl{display:grid;grid-template-columns:repeat(auto-fit,minmax(11.5rem,1fr));margin:0;overflow:hidden}
.sheet dl div{padding:.3rem .8rem .4rem;margin:0 -1px -1px 0;border-right:1px solid var(--rule);border-bottom:1px solid var(--rule)}
.sheet dt{font-size:.75rem;color:var(--dim)}
.sheet dd{margin:0;overflow-wrap:anywhere}
nav ol{display:flex;flex-wrap:wrap;gap:.2rem 1.3rem;list-style:none;margin:0;padding:0;font-size:.92rem}
.outcome{border-left:.5rem solid var(--dye);padding:.1rem 0 .1rem 1rem;margin:1rem 0}
.outcome.stop,.outcome.fix{border-color:var(--red)}
.outcome.stop{border-left-style:double;border-left-width:.8rem}
.outcome strong{display:block;font-size:1.5rem;line-height:1.25;max-width:40ch}
.caution{border:1px solid var(--ink);border-left:.45rem double var(--ink);padding:.35rem .7rem;font-size:.92rem;width:fit-content}
.aside,.legend{font-size:.9rem;color:var(--dim)}
.paper{display:none}
b.d,b.x{color:var(--red)}b.u{color:var(--umber)}
details>summary{cursor:pointer;padding:.2rem 0}
`;

export const WORKSHEET = `
.worksheet{margin:1rem 0}
.worksheet h3{border-bottom:1px solid var(--ink);padding-bottom:.25rem}
.worksheet.stop h3{border-bottom-width:3px;border-bottom-style:double}
.items{list-style:none;margin:0;padding:0}
.item{display:grid;grid-template-columns:minmax(0,6fr) minmax(0,5fr) 8rem;gap:0 1.6rem;padding:.5rem 0 .6rem;border-bottom:1px solid var(--faint)}
.item .what{grid-column:1/3;max-width:none;overflow-wrap:anywhere}
.item>.left{grid-column:1;margin:0;padding-left:2.2rem}.item>.do{grid-column:2;margin:0}.item>p{overflow-wrap:anywhere}
.item .foot{grid-column:1/3;padding:.3rem 0 0 2.2rem;overflow-wrap:anywhere}.foot p{margin:.15rem 0}
.item .tick{grid-column:3;grid-row:1/span 3;border-left:1px solid var(--faint);padding-left:1rem;font-size:.8rem;color:var(--dim);margin:0}
.item .box{display:inline-block;width:1.15rem;height:1.15rem;border:1.5px solid var(--ink);vertical-align:middle}
.item .ini{display:block;border-bottom:1px solid var(--ink);height:1.9rem}
.item .no{display:inline-block;min-width:1.9rem;font-weight:600}
.item .sev{text-transform:uppercase;font-size:.78rem;letter-spacing:.05em;border:1.5px solid;padding:.05rem .4rem;margin-right:.3rem}
.stop .sev{color:var(--paper);background:var(--red);border-color:var(--red)}.fix .sev{color:var(--red)}.note .sev{color:var(--dim)}
.item .title{font-weight:650}
.follows{font-size:.92rem}.follows .foot{display:flex;flex-wrap:wrap;gap:0 1.4rem;align-items:baseline}.follows details[open]{flex-basis:100%}.follows .title{font-weight:500}
.item .do b{color:var(--dye)}
.item .proof{font-size:.9rem;color:var(--dim)}.item .proof ul{margin:.1rem 0;max-width:none}
.item .at{font-size:.9rem;max-width:none}
.item .code{font:.82rem ui-monospace,Consolas,"DejaVu Sans Mono",monospace;color:var(--dim);margin-left:.6rem}
.item:target,tr:target>*,section:target h3,div:target>.s:first-child{background:var(--hatch)}
.item:target,tr:target,div:target>.s:first-child{outline:2px solid var(--dye);outline-offset:-2px}
@media (max-width:62rem){.item{grid-template-columns:minmax(0,1fr) 8rem}.item .what,.item>.left,.item>.do,.item .foot{grid-column:1}.item>.do{padding:.3rem 0 0 2.2rem}.item .tick{grid-column:2;grid-row:1/span 4}}
@media (max-width:44rem){.item{grid-template-columns:minmax(0,1fr)}.item>.left,.item>.do,.item .foot{padding-left:0}.item .tick{display:none}.outcome strong{font-size:1.25rem}}
`;
