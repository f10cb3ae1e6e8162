/**
 * The style of the page. Everyone can tell blue (fell) from orange (rose), and each cell has its number and sign. Dark
 * or light follows the reader's system.
 */
export const COMPARE_STYLE = `
:root {
  color-scheme: light dark;
  --paper: #ffffff; --ink: #1c2430; --quiet: #5a6675; --line: #d5dbe3; --soft: #f3f5f8;
  --error: #b3261e; --warning: #8a5a00; --good: #1b6e3c;
  --up1: #fdebd5; --up2: #f9cf9e; --up3: #f0a75c; --up4: #dd7a1f;
  --down1: #dcebf8; --down2: #b0d2ee; --down3: #75aede; --down4: #3a83c4;
  --on-shade: #10151c;
}
@media (prefers-color-scheme: dark) {
  :root {
    --paper: #15191f; --ink: #e4e8ee; --quiet: #9aa6b5; --line: #36404d; --soft: #1e242c;
    --error: #ff8a80; --warning: #f0b95a; --good: #7fd6a0;
    --up1: #4a3520; --up2: #7a5020; --up3: #b97423; --up4: #ef9a3d;
    --down1: #1f3346; --down2: #285478; --down3: #3b80b6; --down4: #76b7ea;
    --on-shade: #ffffff;
  }
  .up4, .down4 { color: #10151c !important; }
}
body { margin: 0 auto; max-width: 76rem; padding: 1.5rem; background: var(--paper); color: var(--ink);
  font: 15px/1.5 system-ui, sans-serif; }
h1 { font-size: 1.5rem; margin: 0; } h2 { font-size: 1.2rem; margin: 2rem 0 0.3rem; overflow-wrap: anywhere; }
h3 { font-size: 1rem; margin: 1.4rem 0 0.4rem; border-bottom: 1px solid var(--line); }
.states, .place, caption { color: var(--quiet); overflow-wrap: anywhere; }
.verdict { font-weight: 600; border-left: 4px solid; padding: 0.3rem 0.7rem; background: var(--soft); }
.verdict.stop { border-color: var(--error); } .verdict.look { border-color: var(--warning); }
.verdict.harmless, .verdict.nothing { border-color: var(--line); }
.files td:first-child { overflow-wrap: anywhere; min-width: 12rem; }
.findings { list-style: none; padding: 0; }
.finding { border-left: 4px solid var(--line); padding: 0.2rem 0.7rem; margin: 0.5rem 0; }
.finding.error { border-color: var(--error); } .finding.error > b { color: var(--error); }
.finding.warning { border-color: var(--warning); } .finding.warning > b { color: var(--warning); }
.finding.gone { border-color: var(--good); } .finding.gone > b { color: var(--good); }
.scroll { overflow-x: auto; margin: 0.4rem 0 1rem; }
table { border-collapse: collapse; } th, td { padding: 0.2rem 0.6rem; text-align: left; }
.values th { color: var(--quiet); font-weight: 600; } .values .group { color: var(--ink); padding-top: 0.7rem; }
.limit { color: var(--quiet); font-weight: 400; margin-left: 1rem; }
.values td { border-top: 1px solid var(--line); } .number { text-align: right; white-space: nowrap;
  font-variant-numeric: tabular-nums; }
.values thead th:nth-child(n+2):nth-child(-n+4) { text-align: right; }
.beyond td { color: var(--error); font-weight: 600; }
.change { margin: 0.3rem 0; overflow-wrap: anywhere; }
.map { font-size: 12px; font-variant-numeric: tabular-nums; }
.map caption { text-align: left; padding-bottom: 0.2rem; }
.map th { color: var(--quiet); font-weight: 500; text-align: right; padding: 0.1rem 0.35rem; }
.map td { text-align: right; padding: 0.1rem 0.35rem; border: 1px solid var(--line); white-space: nowrap; }
.map small { display: block; opacity: 0.75; font-size: 10px; } .still { color: var(--quiet); }
.edge { border-style: dashed !important; }
.up1 { background: var(--up1); } .up2 { background: var(--up2); } .up3 { background: var(--up3); }
.up4 { background: var(--up4); } .down1 { background: var(--down1); } .down2 { background: var(--down2); }
.down3 { background: var(--down3); } .down4 { background: var(--down4); }
.up1, .up2, .up3, .up4, .down1, .down2, .down3, .down4 { color: var(--on-shade); }
.curve { max-width: 35rem; width: 100%; } .curve text { fill: var(--quiet); font-size: 11px; }
.curve polyline { fill: none; stroke-width: 2; } .was { stroke: var(--quiet); stroke-dasharray: 5 4; }
.is { stroke: var(--up4); } .curve .moved { fill: var(--up4); } .curve .still { fill: var(--quiet); }
@media print { body { max-width: none; } section { break-inside: auto; } }
`;
