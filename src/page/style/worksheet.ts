/** Jobs: what is wrong beside what to do, and a place to sign it off by hand. */
export const WORKSHEET = `
.worksheet{margin:1rem 0}
.worksheet h3{border-bottom:1px solid var(--ink);padding-bottom:.25rem}
.worksheet.stop h3{border-bottom-width:3px;border-bottom-style:double}
.items{list-style:none;margin:0;padding:0}
.item{display:grid;grid-template-columns:minmax(0,6fr) minmax(0,5fr) 8rem;gap:0 1.6rem;padding:.5rem 0 .6rem;border-bottom:1px solid var(--faint)}
.item .what{grid-column:1/3;max-width:none;overflow-wrap:anywhere}
.item>.left{grid-column:1;margin:0;padding-left:2.2rem}.item>.do{grid-column:2;margin:0}.item>p{overflow-wrap:anywhere}
.item .foot{grid-column:1/3;padding:.3rem 0 0 2.2rem;overflow-wrap:anywhere}.foot p{margin:.15rem 0;max-width:none}
.item .tick{grid-column:3;grid-row:1/span 3;border-left:1px solid var(--faint);padding-left:1rem;font-size:.8rem;color:var(--dim);margin:0}
.item .box{display:inline-block;width:1.15rem;height:1.15rem;border:1.5px solid var(--ink);vertical-align:middle}
.item .ini{display:block;border-bottom:1px solid var(--ink);height:1.9rem}
.item .no{display:inline-block;min-width:1.9rem;font-weight:600}
.item .sev{text-transform:uppercase;font-size:.78rem;letter-spacing:.05em;border:1.5px solid;padding:.05rem .4rem;margin-right:.3rem}
.stop .sev{color:var(--paper);background:var(--red);border-color:var(--red)}.fix .sev{color:var(--red)}.note .sev{color:var(--dim)}
.item .title{font-weight:650}
.follows{font-size:.92rem}.follows ul{list-style:none;padding-left:0;max-width:none}
.item .do b{color:var(--dye)}
.item .proof{font-size:.9rem;color:var(--dim)}.item .proof ul{margin:.1rem 0;max-width:none}
.item .at{font-size:.9rem;max-width:none}
.item .code{font:.82rem ui-monospace,Consolas,"DejaVu Sans Mono",monospace;color:var(--dim);margin-left:.6rem}
.item:target,tr:target>*,section:target h3,.one:target h5{background:var(--hatch)}
.item:target,tr:target,.one:target h5{outline:2px solid var(--dye);outline-offset:-2px}
@media (max-width:62rem){.item{grid-template-columns:minmax(0,1fr) 8rem}.item .what,.item>.left,.item>.do,.item .foot{grid-column:1}.item>.do{padding:.3rem 0 0 2.2rem}.item .tick{grid-column:2;grid-row:1/span 4}}
@media (max-width:44rem){.item{grid-template-columns:minmax(0,1fr)}.item>.left,.item>.do,.item .foot{padding-left:0}.item .tick{display:none}}
`;
