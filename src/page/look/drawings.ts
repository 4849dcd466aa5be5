export const DRAWINGS = `
.group,.vantage{margin:0 0 1.8rem}
.group h3 .verdict{font-weight:400;margin-left:.6rem}
.verdict b{display:inline-block;min-width:1.3em;text-align:center;border:1.5px solid}
.verdict.lost,.verdict.at-risk{color:var(--red)}.verdict.unproven{color:var(--umber)}.verdict.unproven b{border-style:dashed}
svg{max-width:none;display:block;font:12px system-ui,"Segoe UI",sans-serif}
svg text{fill:var(--ink)}
.paths{margin:.6rem 0}
.node{fill:var(--paper);stroke:var(--ink);stroke-width:1.2}
.node.end{stroke-width:2}
.ring{fill:none;stroke:var(--red);stroke-width:2.5}
.paths .name{font:600 12px ui-monospace,Consolas,"DejaVu Sans Mono",monospace}
.paths .under{font-size:11px;fill:var(--dim)}
.paths .single{font-weight:650;fill:var(--red)}
.line{fill:none;stroke:var(--ink);stroke-width:2.2}
.line.dead{stroke:var(--red);stroke-width:1.8;stroke-dasharray:2 6}
.line.unproven{stroke:var(--umber);stroke-width:1.8;stroke-dasharray:11 6}
.sign{font:700 17px system-ui,sans-serif;text-anchor:middle;paint-order:stroke;stroke:var(--paper);stroke-width:5px}
svg .sign.dead{fill:var(--red)}svg .sign.unproven{fill:var(--umber)}
.key{display:inline;vertical-align:middle;margin-left:1rem}.legend .key:first-child{margin-left:0}
.ringed{border:3px double var(--red);padding:0 .3rem;margin-left:1rem}
.racks{display:flex;flex-wrap:wrap;gap:1.2rem 2rem;align-items:flex-end}
.rack{margin:0}.rack figcaption{font-weight:600;padding-bottom:.3rem}
.grid{fill:none;stroke:var(--faint)}
.rack .u{font-size:10px;text-anchor:end;fill:var(--dim)}
.unit{fill:var(--head);stroke:var(--ink);stroke-width:1.2}
.unit.differs,.unit.missing{fill:var(--redbg);stroke:var(--red);stroke-width:2.5}
.unit.unproven{stroke-dasharray:6 4}
.rack .feed{fill:var(--dim);font-size:10px}
`;
