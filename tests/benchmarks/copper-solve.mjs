// Resistances of copper whose stretches are all known, by preconditioned conjugate gradients. None of
// the engine's code: what it claims is judged by this. `tests/benchmarks/copper-solve.test.ts` holds it to
// closed forms and, where ngspice is installed, to ngspice.

const TOLERANCE = 1e-9;

/** Conductors between numbered nodes. */
export class Conductors {
  /** @param edges node, node, Ω of each */
  constructor(count, edges) {
    this.count = count;
    this.edges = edges;
    this.starts = new Int32Array(count + 1);
    for (const [a, b] of edges) {
      this.starts[a + 1]++;
      this.starts[b + 1]++;
    }
    for (let n = 0; n < count; n++) this.starts[n + 1] += this.starts[n];
    const at = this.starts.slice();
    this.ends = new Int32Array(2 * edges.length);
    this.siemens = new Float64Array(2 * edges.length);
    for (const [a, b, ohms] of edges) {
      this.ends[at[a]] = b;
      this.siemens[at[a]++] = 1 / ohms;
      this.ends[at[b]] = a;
      this.siemens[at[b]++] = 1 / ohms;
    }
  }

  /** Ω between two nodes; Infinity when nothing joins them. */
  ohms(from, to) {
    if (from === to) return 0;
    const volts = this.volts(from, to, 1);
    return volts === undefined ? Number.POSITIVE_INFINITY : volts[from];
  }

  /** Volts of every node over `to` when a current goes in at `from`; undefined when nothing joins them. */
  volts(from, to, amps) {
    const order = this.#outward(to);
    if (order.place[from] < 0) return undefined;
    const found = solve(this.#system(order), order.place[from], amps);
    const volts = new Float64Array(this.count);
    order.nodes.forEach((node, k) => {
      volts[node] = k < found.length ? found[k] : 0;
    });
    return volts;
  }

  /** Nodes joined to the root, the farthest first: a tree eliminated in this order fills nothing in. */
  #outward(root) {
    const nodes = [root];
    const place = new Int32Array(this.count).fill(-1);
    place[root] = 0;
    for (let k = 0; k < nodes.length; k++) {
      for (let e = this.starts[nodes[k]]; e < this.starts[nodes[k] + 1]; e++) {
        if (place[this.ends[e]] >= 0) continue;
        place[this.ends[e]] = nodes.length;
        nodes.push(this.ends[e]);
      }
    }
    nodes.reverse();
    nodes.forEach((node, k) => {
      place[node] = k;
    });
    return { nodes, place };
  }

  /** Conductance matrix without the root: diagonal, and the entries right of it, row by row. */
  #system({ nodes, place }) {
    const size = nodes.length - 1;
    const diagonal = new Float64Array(size);
    const starts = new Int32Array(size + 1);
    const columns = [];
    const entries = [];
    for (let row = 0; row < size; row++) {
      const node = nodes[row];
      for (let e = this.starts[node]; e < this.starts[node + 1]; e++) {
        diagonal[row] += this.siemens[e];
        const column = place[this.ends[e]];
        if (column <= row || column === size) continue;
        columns.push(column);
        entries.push(-this.siemens[e]);
      }
      starts[row + 1] = columns.length;
    }
    return { size, diagonal, starts, columns, entries };
  }
}

/** Conjugate gradients (Hestenes & Stiefel 1952), preconditioned by an incomplete factor with no fill. */
function solve(system, source, amps) {
  const { size } = system;
  const pivots = pivotsOf(system);
  const x = new Float64Array(size);
  const r = new Float64Array(size);
  r[source] = amps;
  const z = new Float64Array(size);
  smooth(system, pivots, r, z);
  const p = z.slice();
  const q = new Float64Array(size);
  let rho = dot(r, z);
  const aim = TOLERANCE * TOLERANCE * rho;
  for (let turn = 0; turn < 20 * size + 100 && rho > aim; turn++) {
    times(system, p, q);
    const step = rho / dot(p, q);
    for (let k = 0; k < size; k++) {
      x[k] += step * p[k];
      r[k] -= step * q[k];
    }
    smooth(system, pivots, r, z);
    const next = dot(r, z);
    for (let k = 0; k < size; k++) p[k] = z[k] + (next / rho) * p[k];
    rho = next;
  }
  return x;
}

function pivotsOf({ size, diagonal, starts, columns, entries }) {
  const pivots = diagonal.slice();
  for (let row = 0; row < size; row++) {
    for (let e = starts[row]; e < starts[row + 1]; e++) {
      pivots[columns[e]] -= entries[e] ** 2 / pivots[row];
    }
  }
  return pivots;
}

/** z = M⁻¹·r with M = (D + L)·D⁻¹·(D + Lᵀ); z overwritten. */
function smooth({ size, starts, columns, entries }, pivots, r, z) {
  z.set(r);
  for (let row = 0; row < size; row++) {
    z[row] /= pivots[row];
    for (let e = starts[row]; e < starts[row + 1]; e++) z[columns[e]] -= entries[e] * z[row];
  }
  for (let row = size - 1; row >= 0; row--) {
    let sum = 0;
    for (let e = starts[row]; e < starts[row + 1]; e++) sum += entries[e] * z[columns[e]];
    z[row] -= sum / pivots[row];
  }
}

/** q = A·p; q overwritten. */
function times({ size, diagonal, starts, columns, entries }, p, q) {
  for (let row = 0; row < size; row++) q[row] = diagonal[row] * p[row];
  for (let row = 0; row < size; row++) {
    for (let e = starts[row]; e < starts[row + 1]; e++) {
      q[row] += entries[e] * p[columns[e]];
      q[columns[e]] += entries[e] * p[row];
    }
  }
}

function dot(x, y) {
  let sum = 0;
  for (let k = 0; k < x.length; k++) sum += x[k] * y[k];
  return sum;
}
