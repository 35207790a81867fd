/** Looks of the drawing, light and dark; kinds differ by outline as well as by colour. */
export const GRAPH_STYLE = `
svg { --page: #fff; --ink: #16181d; --quiet: #5b6472; --wire: #7d8794; --net: #e4ecf5; --net-edge: #2d5f93;
  --box: #fff; --box-edge: #4b5563; --asked: #a3210f; }
@media (prefers-color-scheme: dark) { svg { --page: #14171c; --ink: #eceff4; --quiet: #a4adbb; --wire: #7b8696;
  --net: #1f3044; --net-edge: #86acd0; --box: #1b1f26; --box-edge: #98a2b1; --asked: #ff9a85; } }
@media print { svg { --page: #fff; --ink: #000; --quiet: #444; --wire: #777; --net: #e4ecf5; --net-edge: #2d5f93;
  --box: #fff; --box-edge: #444; --asked: #8a1a0a; } }
.page { fill: var(--page); }
text { fill: var(--ink); font: 12px "DejaVu Sans", Verdana, Arial, sans-serif; }
.head { font-size: 17px; font-weight: bold; }
.note { fill: var(--quiet); }
.net { fill: var(--net); stroke: var(--net-edge); stroke-width: 1.5; }
.part { fill: var(--box); stroke: var(--box-edge); }
.jumper { fill: var(--box); stroke: var(--box-edge); stroke-width: 1.5; stroke-dasharray: 5 3; }
.asked { stroke: var(--asked); stroke-width: 3; }
.name { font-weight: bold; }
.wire { fill: none; stroke: var(--wire); stroke-width: 1.3; stroke-linejoin: round; }
.pin { fill: var(--quiet); paint-order: stroke; stroke: var(--page); stroke-width: 4px; stroke-linejoin: round; }
`;
