/** The drawing of the site, the paths of a group, the racks. Style of a line and frame of a cell say what their colour says. */
export const DRAWINGS = `
.group,.vantage{margin:0 0 1.6rem}
.group h3 .verdict{font-weight:400;margin-left:.6rem}
.verdict b{display:inline-block;min-width:1.3em;text-align:center;border:1.5px solid}
.verdict{white-space:nowrap}.verdict.lost,.verdict.at-risk{color:var(--red)}.verdict.unproven{color:var(--umber)}.verdict.unproven b{border-style:dashed}
svg{max-width:none;display:block;font:12px system-ui,"Segoe UI",sans-serif}
svg text{fill:var(--ink)}
.paths{margin:.5rem 0}
.node{fill:var(--paper);stroke:var(--ink);stroke-width:1.2}
.node.end{stroke-width:2}
.ring{fill:none;stroke:var(--red);stroke-width:1.2}.paths .ring{stroke-width:2.2}
.paths .name{font:600 12px ui-monospace,Consolas,"DejaVu Sans Mono",monospace}
.paths .under{font-size:11px;fill:var(--dim)}
.paths .single{font-weight:650;fill:var(--red)}
.line{fill:none;stroke:var(--ink);stroke-width:2}
.line.dead{stroke:var(--red);stroke-width:1.8;stroke-dasharray:2 5}
.line.unproven{stroke:var(--umber);stroke-width:1.8;stroke-dasharray:9 5}
.line.feed{stroke-width:1.2}
.joint{fill:var(--ink)}.joint.dead{fill:var(--red)}.joint.unproven{fill:var(--umber)}
.sign{font:700 15px system-ui,sans-serif;text-anchor:middle;paint-order:stroke;stroke:var(--paper);stroke-width:5px}
svg .sign.dead{fill:var(--red)}svg .sign.unproven{fill:var(--umber)}
.lane{fill:none;stroke:var(--rule);stroke-width:3.4}.lane.network{stroke-width:1.6}.lane.feed{stroke-width:1.2}
.site .name{font:600 10px system-ui,"Segoe UI",sans-serif}.site .under{font-size:8.5px;fill:var(--dim)}
.site .port{font-size:9px}.site .word{font-size:8.9px}.site .job{font-size:9px;font-weight:700;text-anchor:end}
.device{fill:none;stroke:var(--rule);stroke-width:1}
.cell{fill:var(--paper);stroke:var(--ink);stroke-width:1}
.cell.d{fill:var(--redbg);stroke:var(--red);stroke-width:2.2}.cell.x{fill:var(--redbg);stroke:var(--red);stroke-width:2.2}.cell.u{stroke:var(--umber);stroke-dasharray:4 3}
.mosaic .cell{stroke-width:.6;stroke:var(--rule)}.mosaic .cell.d{fill:var(--red);stroke:var(--red)}.mosaic .cell.x{fill:var(--redbg);stroke:var(--red);stroke-width:1}.mosaic .cell.u{fill:var(--hatch);stroke:var(--umber);stroke-width:1;stroke-dasharray:2 2}
.cross{stroke:var(--red);stroke-width:1.1;fill:none}
.legend .cell.d{fill:var(--red)}
svg .word.d,svg .word.x{fill:var(--red);font-weight:650}svg .word.u{fill:var(--umber)}
.key{display:inline;vertical-align:middle;margin-left:.8rem}.legend .key:first-child{margin-left:0}
.ringed{border:1.2px solid var(--red);outline:1.2px solid var(--red);outline-offset:1.4px;padding:0 .3rem;margin:0 .2rem 0 1rem}
.racks{display:flex;flex-wrap:wrap;gap:1.2rem 2rem;align-items:flex-end}
.rack{margin:0}.rack figcaption{font-weight:600;padding-bottom:.3rem}
.grid{fill:none;stroke:var(--faint)}
.rack .u{font-size:10px;text-anchor:end;fill:var(--dim)}
.unit{fill:var(--head);stroke:var(--ink);stroke-width:1.2}
.unit.differs,.unit.missing{fill:var(--redbg);stroke:var(--red);stroke-width:2.5}
.unit.unproven{stroke-dasharray:6 4}
.rack .feed{fill:var(--dim);font-size:10px}
`;
