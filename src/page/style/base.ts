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
.k{white-space:nowrap}
small{font-size:.85em;color:var(--dim)}
h1,h2,h3{line-height:1.2;text-wrap:balance;overflow-wrap:anywhere}
h1{font-size:1.35rem;margin:0;letter-spacing:.01em}
main>section>h2{font-size:1.2rem;margin:3rem 0 1rem;padding-top:.85rem;border-top:2px solid var(--ink);background:linear-gradient(104deg,transparent 45%,var(--dye) 45% 55%,transparent 55%) 3.3rem 0/.5rem .75rem no-repeat,linear-gradient(104deg,transparent 45%,var(--dye) 45% 55%,transparent 55%) 3.8rem 0/.5rem .75rem no-repeat}
h4{font-size:.95rem;margin:1.1rem 0 .3rem}h5{font-size:.9rem;font-weight:400;margin:.7rem 0 .1rem}
h2 .sn{display:inline-block;min-width:2.1rem;color:var(--dim);font-weight:400}
h3{font-size:1.02rem;margin:1.6rem 0 .5rem}
p{margin:.4rem 0;max-width:76ch}
ul{margin:.4rem 0;padding-left:1.2rem;max-width:90ch}
.unseen{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%);padding:0;white-space:nowrap}
.cmd span{white-space:nowrap}
.cmd{overflow-wrap:normal}@media (max-width:44rem){.cmd span{white-space:normal;overflow-wrap:anywhere}}
.sheet{border:2px solid var(--ink);margin:0 0 1.2rem}
.sheet h1{padding:.6rem .8rem 0}.sheet>p{padding:0 .8rem .5rem;margin:.1rem 0 0;border-bottom:1px solid var(--ink);max-width:none;color:var(--dim)}
.sheet dl{display:grid;grid-template-columns:repeat(auto-fit,minmax(11.5rem,1fr));margin:0;overflow:hidden}
.sheet dl div{padding:.3rem .8rem .4rem;margin:0 -1px -1px 0;border-right:1px solid var(--rule);border-bottom:1px solid var(--rule)}
.sheet dt{font-size:.75rem;color:var(--dim)}
.sheet dd{margin:0;overflow-wrap:anywhere}
nav{margin:0 0 1rem}nav ol{display:flex;flex-wrap:wrap;gap:.2rem 1.3rem;list-style:none;margin:0;padding:0;font-size:.92rem}
.outcome{border-left:.5rem solid var(--dye);padding:.1rem 0 .1rem 1rem;margin:1rem 0}
.outcome.stop,.outcome.fix{border-color:var(--red)}
.outcome.stop{border-left-style:double;border-left-width:.8rem}
.outcome h2{font-size:1.4rem;line-height:1.25;margin:0;max-width:60ch}.outcome p{max-width:110ch}
.caution{border:1px solid var(--ink);border-left:.45rem double var(--ink);padding:.35rem .7rem;font-size:.92rem;width:fit-content}
.aside,.legend{font-size:.9rem;color:var(--dim)}
.paper{display:none}
b.d,b.x{color:var(--red)}b.u{color:var(--umber)}
details>summary{cursor:pointer;padding:.2rem 0}
.words{display:grid;grid-template-columns:repeat(auto-fit,minmax(min(20rem,100%),1fr));gap:.2rem 2rem;margin:0}.words div{padding:.25rem 0;border-bottom:1px solid var(--faint)}.words dt{font-weight:650}.words dd{margin:0}
.again li{margin:.3rem 0}
#appendix{margin-top:3rem;border-top:2px solid var(--ink)}#appendix>summary{padding:.8rem 0}#appendix>summary h2{display:inline;font-size:1.2rem}#appendix>summary .aside{margin-left:1rem}
`;
