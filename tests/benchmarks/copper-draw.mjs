// Hidden true copper of one net: trees that are not the shortest ones, trunks with branches, planes with
// holes and slots. Each gives conductors between nodes, and the node of every pad.

/** Ω per square of copper of 1 oz, 35 µm. */
const SHEET_OHMS = 0.5e-3;
/** Spread of ln width from stretch to stretch, where nobody knows a width. */
const WIDTH_SPREAD = 0.6;
/**
 * How far ways are taken for longer or shorter than they are, when a tree is chosen: spread of ln mm. It
 * makes a tree an eighth longer than the shortest, with 70 % of its stretches.
 */
const WAY_SPREAD = 0.25;
/** A way on a board is longer than the straight line by 1 to this. */
const MOST_DETOUR = 1.4;
const LEAST_WAY = 0.3; // mm, between pads that touch

/** Standard normal; Box & Muller 1958. */
export function normal(next) {
  return Math.sqrt(-2 * Math.log(Math.max(next(), 1e-12))) * Math.cos(2 * Math.PI * next());
}

/**
 * @param pads mm, x and y of each
 * @param wide mm, the middle of the widths; for a plane its ounces
 * @param spread of ln width from stretch to stretch
 * @returns `count` nodes, `edges` of node, node, Ω, and `nodes`, the node of each pad
 */
export function drawCopper(shape, { pads, wide, spread = WIDTH_SPREAD, next }) {
  return SHAPES[shape]({ pads, wide, spread, next });
}

const SHAPES = { tree, shortest: shortestTree, trunk, plane, 'broken plane': brokenPlane };

function stretch(mm, { wide, spread, next, mostDetour = MOST_DETOUR }) {
  const detour = 1 + (mostDetour - 1) * next();
  const width = wide * Math.exp(spread * normal(next));
  return (SHEET_OHMS * Math.max(mm, LEAST_WAY) * detour) / width;
}

/** A spanning tree, each pad joined by the way that seemed shortest (Prim 1957, lengths perturbed). */
function tree({ pads, wide, spread, next, waySpread = WAY_SPREAD, mostDetour = MOST_DETOUR }) {
  const apart = (i, j) => Math.hypot(pads[i][0] - pads[j][0], pads[i][1] - pads[j][1]);
  const left = new Set(pads.keys());
  left.delete(0);
  const nearest = pads.map(() => ({ from: 0, seems: Number.POSITIVE_INFINITY }));
  const edges = [];
  for (let added = 0; left.size > 0; ) {
    for (const pad of left) {
      const seems = Math.max(apart(added, pad), LEAST_WAY) * Math.exp(waySpread * normal(next));
      if (seems < nearest[pad].seems) nearest[pad] = { from: added, seems };
    }
    const pad = [...left].reduce((best, one) =>
      nearest[one].seems < nearest[best].seems ? one : best,
    );
    const { from } = nearest[pad];
    edges.push([from, pad, stretch(apart(from, pad), { wide, spread, next, mostDetour })]);
    left.delete(pad);
    added = pad;
  }
  return { count: pads.length, edges, nodes: [...pads.keys()] };
}

/** The shortest tree, in straight lines: what a model would take it for, but for the widths. */
function shortestTree(options) {
  return tree({ ...options, waySpread: 0, mostDetour: 1 });
}

/** One trunk across the board, a branch off it for each strip of pads, a spur to each pad. */
function trunk({ pads, wide, spread, next }) {
  const ys = pads.map(([, y]) => y);
  const [low, high] = [Math.min(...ys), Math.max(...ys)];
  const strips = Math.max(1, Math.round(Math.sqrt(pads.length / 5)));
  const stripOf = (y) =>
    Math.min(strips - 1, Math.floor((strips * (y - low)) / Math.max(high - low, LEAST_WAY)));
  const xs = pads.map(([x]) => x).sort((a, b) => a - b);
  const trunkX = xs[Math.floor(xs.length * (0.2 + 0.6 * next()))];
  const edges = [];
  let count = pads.length;
  let before;
  for (let strip = 0; strip < strips; strip++) {
    const own = [...pads.keys()].filter((pad) => stripOf(pads[pad][1]) === strip);
    if (own.length === 0) continue;
    const y = own.reduce((sum, pad) => sum + pads[pad][1], 0) / own.length;
    const foot = { node: count++, x: trunkX };
    if (before !== undefined) {
      edges.push([
        before.node,
        foot.node,
        stretch(y - before.y, { wide: 2.5 * wide, spread, next }),
      ]);
    }
    before = { node: foot.node, y };
    const taps = own.map((pad) => ({ node: count++, x: pads[pad][0], pad }));
    const along = [...taps, foot].sort((p, q) => p.x - q.x);
    for (let k = 1; k < along.length; k++) {
      const mm = along[k].x - along[k - 1].x;
      edges.push([
        along[k - 1].node,
        along[k].node,
        stretch(mm, { wide: 1.3 * wide, spread, next }),
      ]);
    }
    for (const { node, pad } of taps) {
      edges.push([node, pad, stretch(Math.abs(pads[pad][1] - y), { wide, spread, next })]);
    }
  }
  return { count, edges, nodes: [...pads.keys()] };
}

/** Cells of a plane at most. */
const MOST_CELLS = 9000;
const MARGIN = 3; // mm of plane beyond the outermost pads
/** Share of the area that clearances round vias and pins take. */
const HOLE_SHARE = 0.06;
const BROKEN_SHARE = 0.25;
/** Ω of the via and the spur to a pad, least and most. */
const VIA_OHMS = [0.1e-3, 0.8e-3];

/** A sheet on a square grid, with round clearances and slots in it; each pad on its cell by a via. */
function plane({ pads, wide, next, holeShare = HOLE_SHARE, leastSlots = 2 }) {
  const grid = gridOver(pads);
  const isCopper = new Uint8Array(grid.cells).fill(1);
  for (let n = holesIn(grid, holeShare); n > 0; n--) punch(grid, isCopper, next);
  for (let n = leastSlots + Math.floor(3 * next()); n > 0; n--) slot(grid, isCopper, next);
  const sheet = (SHEET_OHMS / wide) * Math.exp(0.15 * normal(next));
  const between = cellEdges(grid, isCopper, sheet);
  const main = largestOf(grid.cells, isCopper, between);
  const edges = between.filter(([a]) => main[a]);
  const nodes = pads.map((_, k) => grid.cells + k);
  pads.forEach((pad, k) => {
    const [least, most] = VIA_OHMS;
    edges.push([nearestCell(grid, main, pad), nodes[k], least + (most - least) * next()]);
  });
  return { count: grid.cells + pads.length, edges, nodes };
}

/** A sheet that much else goes through. */
function brokenPlane(options) {
  return plane({ ...options, holeShare: BROKEN_SHARE, leastSlots: 4 });
}

function gridOver(pads) {
  const range = (axis) => {
    const all = pads.map((pad) => pad[axis]);
    return [Math.min(...all) - MARGIN, Math.max(...all) + MARGIN];
  };
  const [[left, right], [low, high]] = [range(0), range(1)];
  const pitch = Math.max(0.5, Math.sqrt(((right - left) * (high - low)) / MOST_CELLS));
  const columns = Math.ceil((right - left) / pitch);
  const rows = Math.ceil((high - low) / pitch);
  return { left, low, pitch, columns, rows, cells: columns * rows };
}

function holesIn({ cells, pitch }, share) {
  return Math.round((share * cells * pitch * pitch) / (Math.PI * 0.7 ** 2));
}

function punch({ columns, rows, pitch }, isCopper, next) {
  const radius = (0.4 + 0.6 * next()) / pitch;
  const [x, y] = [columns * next(), rows * next()];
  for (let row = Math.floor(y - radius); row <= y + radius; row++) {
    for (let column = Math.floor(x - radius); column <= x + radius; column++) {
      if (row < 0 || column < 0 || row >= rows || column >= columns) continue;
      if (Math.hypot(column - x, row - y) < radius) isCopper[row * columns + column] = 0;
    }
  }
}

/** A cut along or across, as long as a tenth to a half of the plane. */
function slot({ columns, rows }, isCopper, next) {
  const isAlong = next() < 0.5;
  const most = isAlong ? columns : rows;
  const length = Math.round(most * (0.1 + 0.4 * next()));
  const from = Math.floor((most - length) * next());
  const across = Math.floor((isAlong ? rows : columns) * (0.1 + 0.8 * next()));
  for (let k = from; k < from + length; k++) {
    isCopper[isAlong ? across * columns + k : k * columns + across] = 0;
  }
}

function cellEdges({ columns, rows }, isCopper, sheet) {
  const edges = [];
  for (let cell = 0; cell < columns * rows; cell++) {
    if (!isCopper[cell]) continue;
    if ((cell + 1) % columns !== 0 && isCopper[cell + 1]) edges.push([cell, cell + 1, sheet]);
    if (cell + columns < columns * rows && isCopper[cell + columns]) {
      edges.push([cell, cell + columns, sheet]);
    }
  }
  return edges;
}

/** Marks the cells of the largest piece of copper. */
function largestOf(cells, isCopper, edges) {
  const root = Int32Array.from({ length: cells }, (_, k) => k);
  const rootOf = (cell) => {
    let top = cell;
    while (root[top] !== top) {
      root[top] = root[root[top]];
      top = root[top];
    }
    return top;
  };
  for (const [a, b] of edges) root[rootOf(a)] = rootOf(b);
  const sizes = new Int32Array(cells);
  for (let cell = 0; cell < cells; cell++) sizes[rootOf(cell)] += isCopper[cell];
  const largest = sizes.reduce((best, size, k) => (size > sizes[best] ? k : best), 0);
  return Uint8Array.from({ length: cells }, (_, cell) =>
    isCopper[cell] && rootOf(cell) === largest ? 1 : 0,
  );
}

function nearestCell({ left, low, pitch, columns, rows }, main, [x, y]) {
  const column = (x - left) / pitch - 0.5;
  const row = (y - low) / pitch - 0.5;
  for (let reach = 1; ; reach *= 2) {
    let best = -1;
    let least = Number.POSITIVE_INFINITY;
    for (let r = Math.max(0, Math.floor(row - reach)); r <= Math.min(rows - 1, row + reach); r++) {
      const first = Math.max(0, Math.floor(column - reach));
      for (let c = first; c <= Math.min(columns - 1, column + reach); c++) {
        const far = Math.hypot(c - column, r - row);
        if (far >= least || !main[r * columns + c]) continue;
        least = far;
        best = r * columns + c;
      }
    }
    if (best >= 0) return best;
  }
}
