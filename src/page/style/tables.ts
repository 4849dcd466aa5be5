/** Tables: the matrix with a column a fact, and all the plain ones. */
export const TABLES = `
.wide{overflow-x:auto;max-width:100%}
table{border-collapse:collapse}
caption{text-align:left;font-size:.85rem;color:var(--dim);padding:.2rem 0}
th,td{text-align:left;vertical-align:top;padding:.25rem .5rem}
table.plain{margin:.5rem 0;font-size:.92rem}
.plain th,.plain td{border:1px solid var(--faint);overflow-wrap:anywhere}
.plain thead th{background:var(--head);border-color:var(--rule);font-weight:600;overflow-wrap:normal}
.plain tbody th{font-weight:600}
.plain th code{font-weight:400}
.paths-table th{min-width:11rem}
.wide .plain th,.wide .plain td{min-width:5rem}
.numbers td{text-align:right}
.blank{display:block;min-width:7rem;height:1.4rem;border-bottom:1px solid var(--rule)}
.signing td{min-width:9rem}.signing .blank{height:2.2rem;border:0}
.digest{border:1px solid var(--rule);padding:.6rem .8rem;max-width:none;width:fit-content}
.board{overflow:auto;max-height:88vh;border:1px solid var(--rule);margin:.6rem 0}
.matrix{table-layout:fixed;width:100%;min-width:44rem;font-size:.86rem;line-height:1.3;border-collapse:separate;border-spacing:0}
.part+.part{margin-top:1rem}
.matrix caption{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%);padding:0}
.matrix th,.matrix td{padding:.25rem .35rem}
.matrix .c1{width:8.4rem}.matrix .c2{width:7rem}
.matrix .w-address{width:6rem}.matrix .w-echo{width:5.2rem}.matrix .w-service{width:5.5rem}.matrix .w-box{width:7.3rem}.matrix .w-cable{width:9.6rem}.matrix .w-mtu{width:5.2rem}.matrix .w-portals{width:4.8rem}
.matrix thead{position:sticky;top:0;z-index:3}
.matrix thead th{background:var(--head);border-bottom:1px solid var(--rule);font-weight:600}
.matrix tbody td,.matrix tbody th[scope=row]{border-bottom:1px solid var(--faint);overflow-wrap:anywhere}
.matrix th[scope=row],.matrix .port{position:sticky;left:0;background:var(--paper);z-index:1}
.matrix th[scope=row]{font-weight:400}
.matrix thead .port{background:var(--head);z-index:4}
.matrix th[scope=row] small{display:block;font:.8rem ui-monospace,Consolas,"DejaVu Sans Mono",monospace}
.matrix .g th{background:var(--paper);border-top:1.5px solid var(--ink);border-bottom:1px solid var(--rule);padding-top:.5rem}
.matrix .g span{position:sticky;left:.5rem;font-weight:650}.matrix .g small{font-weight:400}
.matrix b{display:inline-block;min-width:1.15em;text-align:center;line-height:1.25;border:1.5px solid transparent;font-weight:700}
.matrix .t b{font-weight:400}
.matrix td.d,.matrix td.x{background:var(--redbg);color:var(--red)}
.matrix td.d b,.matrix td.x b{color:var(--paper);background:var(--red);border-color:var(--red)}
.matrix td.u{color:var(--umber)}
.matrix td.u b{border:1.5px dashed currentColor}
.matrix tr.d>th,.matrix tr.x>th{box-shadow:inset .25rem 0 var(--red)}
.matrix tr{scroll-margin-top:4.2rem}
.matrix td a{color:inherit;white-space:nowrap}
.matrix td small{display:block;padding-left:1.4em;color:inherit}
.key-list{display:flex;flex-wrap:wrap;gap:.1rem 1.4rem;list-style:none;padding:0;max-width:none;font-size:.9rem}
.ev .one{border-top:1px solid var(--faint);padding:.2rem 0 .6rem}
.ev .plain thead th{overflow-wrap:anywhere}
.ev h5 b{display:inline-block;width:1.3em}
.s{white-space:pre-line;overflow-wrap:anywhere;max-width:110ch;font-size:.9rem}
.filter{display:flex;flex-wrap:wrap;gap:.5rem 1.2rem;align-items:center;border:1px solid var(--rule);padding:.5rem .7rem;margin:.6rem 0;font-size:.92rem}
.filter[hidden]{display:none}
.filter input[type=search],.filter select{font:inherit;color:inherit;background:var(--paper);border:1px solid var(--rule);padding:.2rem .4rem;min-width:0;max-width:14rem}
.filter label{display:inline-flex;gap:.4rem;align-items:center;min-height:1.75rem}
@media screen{.out{display:none!important}}
@media screen and (max-width:44rem){.wide .plain th,.wide .plain td{min-width:9rem}.wide .plain td:last-child,.wide .plain th:last-child{min-width:4rem}}
@media (max-width:44rem){.matrix .c1{width:7.3rem}.matrix .c2{width:6.6rem}.matrix{font-size:.82rem}th,td{padding:.25rem .35rem}}
`;

/** For large pages: the browser lays out only what is in sight. */
export const SKIP_UNSEEN = `
.part{content-visibility:auto;contain-intrinsic-size:auto 1000rem auto 110rem}
.ev{content-visibility:auto;contain-intrinsic-size:auto 12rem}
.group{content-visibility:auto;contain-intrinsic-size:auto 26rem}
`;
