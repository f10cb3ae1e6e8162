import { type CellColours, darkCells, lightCells } from './palette.ts';

/** The style of the page: light or dark on a screen, always light on paper. */
export const style = `
:root { color-scheme: light; --ground: #fff; --ink: #14181d; --faint: #55606c; --rule: #c9d1d9;
  --shade: #f3f5f7;
  --link: #0a4f9e; --error: #a0141e; --warning: #7a4d00; --box: #fff6dc; --box-rule: #b98900; }
@media screen and (prefers-color-scheme: dark) {
:root { color-scheme: dark; --ground: #12161b; --ink: #e6ebf0; --faint: #a3afbb; --rule: #3a444f;
  --shade: #1b2128;
  --link: #8cc0ff; --error: #ff8f8f; --warning: #f0c060; --box: #2b2410; --box-rule: #b98900; }
${cells(darkCells)}
}
@media print { ${cells(lightCells)} }
@media screen and (not (prefers-color-scheme: dark)) { ${cells(lightCells)} }
* { box-sizing: border-box; }
body { margin: 0 auto; padding: 2rem 1.5rem; max-width: 72rem; background: var(--ground); color: var(--ink);
  font: 15px/1.5 system-ui, sans-serif; }
h1 { font-size: 1.9rem; line-height: 1.2; margin: 0 0 .3rem; }
h2 { font-size: 1.4rem; margin: 2.5rem 0 .8rem; padding-bottom: .2rem; border-bottom: 2px solid var(--rule); }
h3 { font-size: 1.08rem; margin: 1.6rem 0 .5rem; }
h4 { font-size: 1rem; margin: 1.2rem 0 .4rem; }
a { color: var(--link); }
code { font: .86em ui-monospace, monospace; color: var(--faint); overflow-wrap: anywhere; }
.head { color: var(--faint); margin: 0 0 1rem; }
.cautions { background: var(--box); border: 1px solid var(--box-rule); border-left-width: 6px;
  padding: .6rem 1.1rem;
  border-radius: 4px; }
.cautions h2 { border: 0; margin: .2rem 0 .4rem; font-size: 1.1rem; }
.cautions ul { margin: .3rem 0; padding-left: 1.2rem; }
nav ol { columns: 2; padding-left: 1.4rem; }
.wide { overflow-x: auto; }
table { border-collapse: collapse; margin: .4rem 0 1rem; font-variant-numeric: tabular-nums; }
th, td { text-align: left; vertical-align: top; padding: .22rem .6rem; border-bottom: 1px solid var(--rule); }
thead th { background: var(--shade); font-weight: 600; }
tbody th, .written th, .points th { font-weight: 500; }
.written th { width: 16rem; }
.prose code { color: inherit; }
.written td:nth-child(2) { min-width: 9rem; white-space: nowrap; }
.meaning, .place, .remark, .unit { color: var(--faint); font-size: .87em; font-weight: 400; }
p.meaning, p.legend { margin: 0 0 .5rem; max-width: 60rem; }
.map td, .map th, .points td { text-align: right; padding: .2rem .45rem; border: 1px solid var(--ground); }
.points td, .points th { border: 1px solid var(--rule); }
.map th, .map tfoot th { font-weight: 600; background: var(--shade); font-size: .9em; }
.map caption { text-align: left; white-space: nowrap; color: var(--faint); font-size: .87em;
  padding-bottom: .2rem; }
.map td { font-size: .9em; }
.figures td, .figures thead th { text-align: right; white-space: nowrap; }
.wires td { white-space: nowrap; } .wires td:nth-child(n+8) { text-align: right; }
.figures td:nth-child(2) { text-align: left; }
.given th, .given td { color: var(--faint); }
.working { width: 100%; table-layout: fixed; }
.working thead th:first-child { width: 27%; } .working thead th:last-child { width: 57%; }
.working .result { font-weight: 600; }
.formula { font: .86em/1.5 ui-monospace, monospace; overflow-wrap: anywhere; }
.error { color: var(--error); font-weight: 600; }
.warning { color: var(--warning); font-weight: 600; }
.findings td:nth-child(2) { white-space: nowrap; }
.faults .stops, .faults .damages { color: var(--error); } .faults .hidden { color: var(--warning); }
.verdict { font-weight: 600; } .verdict.broken { color: var(--error); } .verdict.open { color: var(--warning); }
.bounds td:nth-child(-n+4) { white-space: nowrap; } .bounds td:first-child { white-space: normal; }
.reason td { font-style: italic; }
dt { font-weight: 600; } dd { margin: 0 0 .5rem 1.2rem; }
figure { margin: .4rem 0; } svg { width: 460px; max-width: 100%; height: auto; }
svg.swatch { width: 26px; max-width: none; height: 13px; vertical-align: -1px; }
svg.key { width: 30px; height: 8px; }
.line { fill: none; stroke: var(--link); stroke-width: 2; } .line.l1 { stroke-dasharray: 6 4; }
.dot { fill: var(--link); } .rule { stroke: var(--rule); fill: none; }
.tick { fill: var(--faint); font-size: 11px; } .axis { fill: var(--ink); font-size: 12px; }
figcaption span { margin-right: 1.5rem; } svg.wide { width: 700px; }
.band { fill: var(--link); opacity: .22; stroke: none; } .level { stroke: var(--error); stroke-dasharray: 3 3; fill: none; } .span { fill: var(--warning); opacity: .25; }
.circuits td { overflow-wrap: normal; } .circuits td:nth-child(n+5) { white-space: nowrap; } .circuits { font-size: .8em; }
.short h2 { font-size: 1.1rem; margin: 1rem 0 .3rem; } .short table { margin: .2rem 0 .3rem; } .short td, .short th { padding: .12rem .5rem; }
.blank { display: inline-block; min-width: 4.5rem; border-bottom: 1px solid var(--faint); height: 1em; }
.box { display: inline-block; width: .9em; height: .9em; border: 1px solid var(--ink); }
.face { display: flex; flex-wrap: wrap; gap: .3rem; margin: .5rem 0 1rem; }
.face > div { border: 1px solid var(--rule); border-radius: 4px; width: 7.2rem; padding: .2rem .4rem; font-size: .8em; overflow-wrap: anywhere; break-inside: avoid; }
.face .unused { color: var(--faint); border-style: dashed; }
.drawing { margin: 1rem 0; overflow-x: auto; } .drawing svg { width: auto; }
.harness { font-family: ui-monospace, monospace; } .harness text { fill: var(--ink); } .harness .title { font-weight: 600; } .harness .note { fill: var(--faint); }
.harness .frame { fill: none; stroke: var(--faint); } .harness .wire, .harness .reach { fill: none; stroke: currentColor; stroke-width: 1.2; }
.harness circle { fill: currentColor; } .harness .reach { stroke: transparent; stroke-width: 6; } .harness .circuit:hover .wire { stroke-width: 3; }
${lines(['#0b5cad', '#b0390e', '#2b7a2b', '#7a3fa0', '#8a5c00', '#00717a'])}
@media screen and (prefers-color-scheme: dark) { ${lines(['#6fb1ff', '#ff9a6b', '#7ed07e', '#cf9cf0', '#e0b450', '#5fcbd4'])} }
.cuts { columns: 2; } .cuts table { width: 100%; margin-top: 0; }
.hash { overflow-wrap: anywhere; }
@page { size: A4; margin: 14mm; }
@media print {
body { max-width: none; padding: 0; font-size: 9.5pt; }
.wide { overflow: visible; } .map td, .map th, .map tfoot th { padding: 1pt 2.5pt; font-size: 7pt; }
.list, .figures { font-size: 7.5pt; } .short h2 { font-size: 10pt; margin: 5pt 0 1pt; } .short p { margin: 2pt 0; } .list td, .list th { padding: 1.5pt 3pt; }
tr, figure, .cautions, section.table, section.sensor, section.connector { break-inside: avoid; } h2, h3 { break-after: avoid; }
.drawing { overflow: visible; } .drawing svg { max-height: 235mm; }
* { print-color-adjust: exact; -webkit-print-color-adjust: exact; }
}
`;

function cells(colours: readonly CellColours[]): string {
  return colours.map(({ ground, ink }, i) => `.c${i} { background: ${ground}; color: ${ink}; }`).join(' ');
}

/** The colours of the lines of a harness drawing. */
function lines(colours: readonly string[]): string {
  return colours.map((colour, i) => `.line-${i} { color: ${colour}; }`).join(' ');
}
