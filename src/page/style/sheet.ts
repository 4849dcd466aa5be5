/** Sheet one: title block, outcome, the site as one drawing, jobs, groups, signatures. */
export const SHEET_ONE = `
.first h3{margin:.9rem 0 .25rem;font-size:1rem}
.overview{margin:.8rem 0 .2rem}
.site svg{width:100%;height:auto;max-width:62rem}
.site svg.mosaic{max-width:56rem}
.site-words{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%)}
.site-words ul{list-style:none;padding:0}.site-words li{padding:.15rem 0;border-bottom:1px solid var(--faint)}
.job-lines{list-style:none;padding:0;margin:0;max-width:none}
.job-lines li{padding:.12rem 0;border-bottom:1px solid var(--faint);overflow-wrap:anywhere}
.job-lines .box{display:inline-block;width:.85rem;height:.85rem;border:1.5px solid var(--ink);vertical-align:-.1rem;margin-right:.5rem}
.job-lines .stop b{color:var(--paper);background:var(--red);padding:0 .3rem}.job-lines .fix b{color:var(--red)}
.groups-table{width:100%}.first .plain{margin:.2rem 0}
.signatures{margin-top:1rem}.first .legend,.signatures .aside{max-width:none}
.first+section>h2{margin-top:2.2rem}
@media screen and (max-width:44rem){.site,.site+.legend{display:none}.site-words{position:static;width:auto;height:auto;clip-path:none}}
`;
