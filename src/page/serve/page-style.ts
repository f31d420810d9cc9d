import { pictureStyle } from '../../picture/picture-style.ts';

/**
 * The page's style: to be read from two metres, from a phone to a screen on the wall, light, dark
 * and with high contrast. No meaning rests on a colour alone.
 */
export const pageStyle = `
:root {
  color-scheme: light dark;
  --paper: #ffffff; --ink: #14181c; --soft: #4d565f; --line: #aab3bb; --panel: #f2f4f6;
  --good: #14592f; --bad: #9a1d1a; --open: #6d4300; --band: #bfe0c9; --accent: #1b568f; --tip-a: #1b568f; --tip-b: #6d4300;
}
@media (prefers-color-scheme: dark) {
  :root {
    --paper: #101316; --ink: #f0f2f4; --soft: #b4bdc6; --line: #56606a; --panel: #1b2025;
    --good: #7fd6a0; --bad: #ff9a92; --open: #f0c069; --band: #22492f; --accent: #8cc4f5; --tip-a: #8cc4f5; --tip-b: #f0c069;
  }
}
@media (prefers-contrast: more) { :root { --soft: var(--ink); --line: var(--ink); } }
* { box-sizing: border-box; }
body { margin: 0; padding: .8rem; background: var(--paper); color: var(--ink); font: clamp(16px, 1.5vw, 26px)/1.35 system-ui, sans-serif; }
.bench { display: grid; gap: .6rem 1.2rem; grid-template-columns: minmax(0, 3fr) minmax(0, 2fr); align-items: start; grid-template-areas: 'top top' 'first first' 'answer answer' 'ask reading' 'picture suspects' 'picture checks' 'picture cautions' 'wide wide'; }
#top { grid-area: top; } #top .link { float: right; } b { white-space: nowrap; } #first { grid-area: first; } #ask { grid-area: ask; } #picture { grid-area: picture; height: 48vh; min-height: 16rem; }
#reading { grid-area: reading; } #answer { grid-area: answer; } #suspects { grid-area: suspects; } #checks { grid-area: checks; } #cautions { grid-area: cautions; } #wide { grid-area: wide; }
.photos { display: flex; gap: .6rem; height: 100%; } .photos figure { flex: 1; min-width: 0; margin: 0; display: flex; flex-direction: column; } .photos svg { flex: 1; min-height: 0; } .photos figcaption { font-size: .8em; }
section:empty { display: none; }
h2 { font-size: 1.15em; margin: 0 0 .2em; } p { margin: .15em 0; overflow-wrap: anywhere; } ul, ol { margin: .2em 0; padding-left: 1.2em; } small { font-size: .55em; }
.soft { color: var(--soft); font-weight: 400; }
#first p { font-size: 2.2em; font-weight: 700; line-height: 1.15; padding: .15em .4em; border-left: .25em solid var(--open); background: var(--panel); }
.action { font-size: 1.6em; font-weight: 700; line-height: 1.15; }
.where { display: flex; gap: .5em; align-items: center; font-size: 1.35em; line-height: 1.2; } .tip-mark { width: 1.7em; height: 1.7em; flex: none; }
.headline { font-size: clamp(2.4rem, 5vw, 5rem); font-weight: 800; line-height: 1; margin: 0; overflow-wrap: normal; }
.number { font-size: clamp(2rem, 5vw, 4.5rem); font-weight: 700; line-height: 1.05; font-variant-numeric: tabular-nums; white-space: nowrap; }
.found { font-size: 1.35em; font-weight: 600; }
#answer:not(:empty) { background: var(--panel); border: 2px solid var(--accent); border-radius: .4rem; padding: .5rem .9rem; }
.tone-pass { color: var(--good); } .tone-fail, .tone-danger { color: var(--bad); } .tone-doubt { color: var(--open); } .tone-quiet { color: var(--soft); }
.suspects, .checks { list-style: none; padding: 0; } .suspects progress { display: block; width: 100%; height: .5em; accent-color: var(--accent); }
.checks { columns: 16rem; font-size: .85em; } .checks li { break-inside: avoid; } .checks .now { font-weight: 700; }
progress { width: 100%; } .scale { width: 100%; height: auto; } .scale text { fill: var(--ink); font: 16px system-ui, sans-serif; }
.scale .band { fill: var(--band); stroke: var(--good); stroke-dasharray: 5 3; } .scale .axis { stroke: var(--soft); stroke-width: 1.5; } .scale .needle { fill: var(--ink); }
summary { font-weight: 600; } table { border-collapse: collapse; width: 100%; } th, td { text-align: left; padding: .15em .6em .15em 0; border-bottom: 1px solid var(--line); font-variant-numeric: tabular-nums; }
.facts { display: grid; grid-template-columns: repeat(auto-fill, minmax(9em, 1fr)); gap: .2em 1em; margin: 0; } .facts dt { color: var(--soft); } .facts dd { margin: 0; font-weight: 600; font-variant-numeric: tabular-nums; }
footer { color: var(--soft); font-size: .8em; margin-top: 1rem; } #code { font-family: ui-monospace, monospace; font-weight: 700; }
.away, .ended { display: none; margin: 0 0 .6rem; padding: .4em .8em; border: 2px solid var(--bad); font-weight: 700; } .ended { border-color: var(--line); }
[data-bench='away'] .away, [data-bench='ended'] .ended { display: block; }
.unseen { position: absolute; width: 1px; height: 1px; margin: -1px; overflow: hidden; clip-path: inset(50%); white-space: nowrap; }
.code { max-width: 30rem; margin: 4rem auto; } .code input { font: 700 1.6em ui-monospace, monospace; width: 11em; max-width: 100%; text-transform: uppercase; } .code button { font: inherit; padding: .3em 1em; }
@media (max-width: 50rem) {
  .bench { grid-template-columns: minmax(0, 1fr); grid-template-areas: 'top' 'first' 'reading' 'ask' 'picture' 'answer' 'suspects' 'cautions' 'wide' 'checks'; }
  #picture { height: 38vh; }
}
@media (forced-colors: active) { .tip circle, .tip rect { stroke: CanvasText; } }
${pictureStyle}`;
