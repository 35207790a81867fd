/** Looks of the drawing; on paper and on a light screen the nearest place is darkest, on a dark one brightest. */
export const PICTURE_STYLE = `
svg { --page: #fff; --ink: #16181d; --quiet: #5b6472; --line: #c3cad4; --bad: #a3210f;
  --s1: #dfe7ef; --s2: #9fb8d0; --s3: #4f7ca6; --s4: #12304d; --on-far: #16181d; --on-near: #fff; }
@media (prefers-color-scheme: dark) { svg { --page: #14171c; --ink: #eceff4; --quiet: #a4adbb; --line: #434c59;
  --bad: #ff9a85; --s1: #2b3643; --s2: #4a647e; --s3: #86acd0; --s4: #e4f1ff; --on-far: #eceff4; --on-near: #14171c; } }
@media print { svg { --page: #fff; --ink: #000; --quiet: #444; --line: #999; --bad: #8a1a0a;
  --s1: #dfe7ef; --s2: #9fb8d0; --s3: #4f7ca6; --s4: #12304d; --on-far: #000; --on-near: #fff; } }
.page { fill: var(--page); }
text { fill: var(--ink); font: 15px "DejaVu Sans", Verdana, Arial, sans-serif; }
.head { font-size: 19px; font-weight: bold; }
.side, .strong { font-weight: bold; }
.told { font-size: 13.5px; paint-order: stroke; stroke: var(--page); stroke-width: 2px; }
.plain, .mm { font-size: 11px; fill: var(--quiet); }
.frame { fill: none; stroke: var(--line); }
.leader { stroke: var(--quiet); stroke-width: 1; }
.span { stroke: var(--quiet); stroke-width: 1.2; stroke-dasharray: 2 4; }
.pad { fill: var(--quiet); opacity: .6; }
.doubt { fill: none; stroke: var(--bad); stroke-width: 1.5; }
.bare { fill: var(--page); stroke: var(--quiet); stroke-width: 1.5; }
.shade1 { fill: var(--s1); stroke: var(--s4); } .shade2 { fill: var(--s2); stroke: var(--s4); }
.shade3 { fill: var(--s3); stroke: var(--s4); } .shade4 { fill: var(--s4); stroke: var(--s4); }
.ring { fill: none; stroke: var(--bad); stroke-width: 2; }
.next { fill: none; stroke: var(--ink); stroke-width: 2.5; }
.sign { font-size: 12px; font-weight: bold; fill: var(--on-far); }
.on-shade3, .on-shade4 { fill: var(--on-near); }
`;
