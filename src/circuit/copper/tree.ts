import type { Branch } from '../network.ts';

/** A forest: each node's way to its root. */
export interface Tree {
  /** By node: where its neighbours begin; one more than nodes. */
  readonly first: Int32Array;
  /** Neighbours, and the branch that leads to each. */
  readonly next: Int32Array;
  readonly branch: Int32Array;
  /** By node; −1 for a root. */
  readonly parent: Int32Array;
  /** By node: branch to its parent, and 1 when it leads from the node to the parent, else −1. */
  readonly above: Int32Array;
  readonly toParent: Int8Array;
}

/** @param branches without loops */
export function treeOf(nodes: number, branches: readonly Branch[]): Tree {
  const { first, next, branch } = neighboursOf(nodes, branches);
  const parent = new Int32Array(nodes).fill(-1);
  const above = new Int32Array(nodes).fill(-1);
  const toParent = new Int8Array(nodes);
  const isSeen = new Uint8Array(nodes);
  for (let root = 0; root < nodes; root++) {
    if (isSeen[root] === 1) continue;
    isSeen[root] = 1;
    const queue = [root];
    for (const here of queue) {
      for (let at = first[here] as number; at < (first[here + 1] as number); at++) {
        const node = next[at] as number;
        if (isSeen[node] === 1) continue;
        const k = branch[at] as number;
        isSeen[node] = 1;
        parent[node] = here;
        above[node] = k;
        toParent[node] = (branches[k] as Branch).a === node ? 1 : -1;
        queue.push(node);
      }
    }
  }
  return { first, next, branch, parent, above, toParent };
}

function neighboursOf(
  nodes: number,
  branches: readonly Branch[],
): Pick<Tree, 'first' | 'next' | 'branch'> {
  const first = new Int32Array(nodes + 1);
  for (const { a, b } of branches) {
    first[a + 1]!++;
    first[b + 1]!++;
  }
  for (let node = 0; node < nodes; node++) first[node + 1]! += first[node] as number;
  const free = first.slice();
  const next = new Int32Array(2 * branches.length);
  const branch = new Int32Array(2 * branches.length);
  const put = (from: number, to: number, k: number): void => {
    const at = free[from]!++;
    next[at] = to;
    branch[at] = k;
  };
  branches.forEach(({ a, b }, k) => {
    put(a, b, k);
    put(b, a, k);
  });
  return { first, next, branch };
}
