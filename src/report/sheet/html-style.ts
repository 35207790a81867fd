/**
 * The look of the HTML sheet: no fonts or pictures from elsewhere, light and dark by the reader's own
 * setting, always black on white in print. Every colour stands at 4.5 to 1 or more on its ground.
 */
export const SHEET_CSS: string = `
:root {
  --ground: #ffffff; --text: #1a1a1a; --quiet: #555555; --line: #8a8a8a; --soft: #f1f1ee;
  --good: #1b5e20; --bad: #a01212; --warn: #7a4b00;
}
@media (prefers-color-scheme: dark) {
  :root {
    --ground: #161616; --text: #ececec; --quiet: #b5b5b5; --line: #7d7d7d; --soft: #262626;
    --good: #8fd694; --bad: #ff9d94; --warn: #f0c36d;
  }
}
* { box-sizing: border-box; }
body {
  margin: 0; background: var(--ground); color: var(--text);
  font: 15px/1.45 system-ui, "Segoe UI", "Noto Sans", "DejaVu Sans", Arial, sans-serif;
}
main { max-width: 58rem; margin: 0 auto; padding: 1.5rem 1rem 3rem; }
h1 { font-size: 1.6rem; line-height: 1.2; margin: 0 0 1rem; }
h2 { font-size: 1.2rem; margin: 2rem 0 .6rem; padding-bottom: .2rem; border-bottom: 2px solid var(--line); }
h3 { font-size: 1rem; margin: 1.2rem 0 .4rem; }
p, ul, dl { margin: .4rem 0; }
ul { padding-left: 1.3rem; }
li, dd, td, p { overflow-wrap: anywhere; }
th { overflow-wrap: break-word; }
.many { columns: 16rem; }
dl > div { display: grid; grid-template-columns: 11rem 1fr; gap: 1rem; padding: .15rem 0; }
dt { color: var(--quiet); }
dd { margin: 0; }
.wide { overflow-x: auto; margin: .8rem 0; }
table { border-collapse: collapse; width: 100%; font-size: .93em; }
caption { text-align: left; color: var(--quiet); padding: .2rem 0; }
th, td { text-align: left; vertical-align: top; padding: .3rem .6rem .3rem 0; border-bottom: 1px solid var(--line); }
thead th { border-bottom: 2px solid var(--line); }
tbody th { font-weight: 600; }
.good { color: var(--good); }
.bad { color: var(--bad); font-weight: 600; }
.warn { color: var(--warn); }
figure { margin: 1rem 0; }
figcaption { color: var(--quiet); margin: .3rem 0; }
.drawing svg { display: block; width: 100%; height: auto; background: var(--soft); }
.photo img { display: block; max-width: 100%; max-height: 26rem; }
.blanks { display: flex; flex-wrap: wrap; gap: 2.2rem 2rem; margin-top: 2.4rem; }
.blanks span { flex: 1 1 14rem; border-bottom: 1px solid var(--text); padding-bottom: .2rem; }
svg .quantity { fill: currentColor; stroke: none; opacity: .55; }
svg .bar { stroke: currentColor; stroke-width: 3.5; }
svg .wire { stroke: currentColor; stroke-width: 1.6; fill: none; }
svg .dot { fill: currentColor; }
svg text { fill: currentColor; font-size: 14px; font-family: inherit; }
svg .net { font-weight: 600; font-size: 14px; }
svg .name { font-weight: 600; }
svg .more { font-size: 12.5px; }
svg rect { fill: var(--ground); stroke: currentColor; stroke-width: 1.4; }
svg .inner { fill: none; stroke-width: 1.2; }
svg .failed { stroke-width: 2; }
svg .suspect { stroke-dasharray: 7 4; stroke-width: 2; }
svg .lifted { stroke-dasharray: 2 3; }
@media (max-width: 36rem) {
  dl > div { grid-template-columns: 6.5rem 1fr; }
  .drawing { overflow-x: auto; }
  .drawing svg { min-width: 26rem; }
}
@media print {
  :root {
    --ground: #ffffff; --text: #000000; --quiet: #333333; --line: #777777; --soft: #ffffff;
    --good: #000000; --bad: #000000; --warn: #000000;
  }
  @page { margin: 14mm; }
  body { font-size: 10.5pt; }
  main { max-width: none; padding: 0; }
  h1, h2, h3, caption { break-after: avoid; }
  tr, figure, dl > div, li { break-inside: avoid; }
  thead { display: table-header-group; }
  .wide { overflow: visible; }
  .bad { font-weight: 700; }
}`.trim();
