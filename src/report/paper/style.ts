import { pictureStyle } from '../../picture/picture-style.ts';

/**
 * The page's style: screen and A4 paper, light and dark. Every colour stands beside a word or a
 * mark.
 */
export const style = `
:root {
  color-scheme: light dark;
  --paper: #ffffff; --ink: #1b1f24; --soft: #57606a; --line: #b6bec7; --panel: #f3f5f7;
  --good: #17663a; --bad: #a3201d; --open: #7a4b00; --band: #cfe6d6; --accent: #1f5f99; --tip-a: #1f5f99; --tip-b: #7a4b00;
}
@media (prefers-color-scheme: dark) {
  :root {
    --paper: #14171a; --ink: #e8ebee; --soft: #a9b3bd; --line: #4a535c; --panel: #1e2328;
    --good: #7fd6a0; --bad: #ff9a92; --open: #f0c069; --band: #24483190; --accent: #8cc4f5;
  }
}
* { box-sizing: border-box; }
body { margin: 0 auto; padding: 1.5rem; max-width: 62rem; background: var(--paper); color: var(--ink); font: 15px/1.45 system-ui, sans-serif; }
h1 { font-size: 1.5rem; margin: 0 0 .25rem; } h2 { font-size: 1.15rem; margin: 2rem 0 .5rem; border-bottom: 1px solid var(--line); } h3 { font-size: 1rem; margin: 1.2rem 0 .3rem; }
p, ul, dl { margin: .3rem 0; } ul { padding-left: 1.2rem; }
.facts { display: grid; grid-template-columns: repeat(auto-fill, minmax(15rem, 1fr)); gap: .1rem 1rem; margin: .5rem 0; }
.facts div { display: flex; gap: .5rem; } dt { color: var(--soft); } dd { margin: 0; overflow-wrap: anywhere; }
.short { display: grid; grid-template-columns: repeat(auto-fit, minmax(16rem, 1fr)); gap: .8rem; }
.short section { background: var(--panel); border: 1px solid var(--line); border-radius: .4rem; padding: .6rem .8rem; } .short h2 { margin: 0 0 .3rem; border: 0; font-size: 1rem; }
.warning { border: 2px solid var(--bad); border-radius: .4rem; padding: .4rem .8rem; }
.verdict { font-size: 1.15rem; font-weight: 600; margin: .8rem 0; }
table { border-collapse: collapse; width: 100%; font-size: .9rem; } th, td { text-align: left; vertical-align: top; padding: .3rem .5rem .3rem 0; border-bottom: 1px solid var(--line); }
th { font-weight: 600; } td.picture { min-width: 15rem; } td.number { font-variant-numeric: tabular-nums; white-space: nowrap; } .soft { color: var(--soft); }
.columns { columns: 20rem; } .columns li { break-inside: avoid; }
.wide { overflow-x: auto; }
.tone-good { color: var(--good); } .tone-bad { color: var(--bad); } .tone-open { color: var(--open); } .word { font-weight: 600; white-space: nowrap; }
code, .mono { font-family: ui-monospace, monospace; font-size: .85em; overflow-wrap: anywhere; }
svg { display: block; max-width: 100%; height: auto; } svg text { fill: var(--ink); font: 11px system-ui, sans-serif; } svg .soft { fill: var(--soft); }
svg .axis { stroke: var(--soft); stroke-width: 1; fill: none; } svg .band { fill: var(--band); stroke: var(--good); stroke-dasharray: 3 2; }
svg .mark { stroke: var(--ink); stroke-width: 1.5; fill: var(--paper); } svg .mark.full { fill: var(--ink); } svg .curve { stroke: var(--accent); stroke-width: 1.2; fill: none; }
svg .bar { fill: var(--accent); } svg .part { fill: var(--panel); stroke: var(--line); stroke-width: 1.5; } svg .part.bad { stroke: var(--bad); stroke-width: 3; } svg .part.good { stroke: var(--good); } svg .part.open { stroke: var(--open); stroke-dasharray: 5 3; } svg .part.accent { stroke: var(--accent); stroke-width: 3; }
.device .diagram { max-height: 20rem; width: 100%; } .sign { margin-top: 2.5rem; padding-top: .3rem; border-top: 1px solid var(--ink); width: 22rem; max-width: 100%; }
figure { margin: .6rem 0; } figcaption { color: var(--soft); font-size: .85rem; }
.pictures { display: grid; grid-template-columns: repeat(auto-fill, minmax(18rem, 1fr)); gap: .4rem 1rem; }
${pictureStyle}
.taken img { max-width: 100%; max-height: 24rem; }
@page { margin: 14mm; }
@media print {
  :root { --paper: #ffffff; --ink: #000000; --soft: #444444; --line: #999999; --panel: #f4f4f4; --good: #17663a; --bad: #a3201d; --open: #7a4b00; --band: #dff0e4; --accent: #1f5f99; }
  body { padding: 0; max-width: none; font-size: 10.5pt; } h2, h3, h2 + p, thead { break-after: avoid; } thead { display: table-header-group; } tr, figure, .short section { break-inside: avoid; }
  .for-customer + .for-supplier, .for-supplier + .for-colleague { break-before: page; } .device .diagram { max-height: 90mm; }
}
`;
