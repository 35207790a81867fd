import { alg, Graph } from '@dagrejs/graphlib';
import type { Branch } from './network.ts';

/** What an edge of the board graph stands for: an element of the view, or an added branch. */
export interface GraphEdge {
  readonly ohms: number;
  /** Index into the branches given; added branches follow the view's own. */
  readonly branch: number;
}

/**
 * The board as a graph: nets are nodes, every resistance a named edge, so that parallel parts stay
 * apart. Used for paths and for drawing; the numbers are solved elsewhere.
 */
export function boardGraph(nodeCount: number, branches: readonly Branch[]): Graph {
  const graph = new Graph({ directed: false, multigraph: true });
  for (let node = 0; node < nodeCount; node++) graph.setNode(String(node));
  branches.forEach(({ a, b, ohms }, branch) => {
    if (a !== b) graph.setEdge(String(a), String(b), { ohms, branch }, String(branch));
  });
  return graph;
}

/**
 * The way of least resistance between two nets.
 * @returns branch indices from `a` to `b`, and the sum of their ohms; undefined when nothing joins them
 */
export function easiestPath(
  graph: Graph,
  a: number,
  b: number,
): { branches: number[]; ohms: number } | undefined {
  const label = (edge: { v: string; w: string; name?: string }): GraphEdge =>
    graph.edge(edge) as GraphEdge;
  const found = alg.dijkstra(
    graph,
    String(a),
    (edge) => label(edge).ohms,
    (node) => graph.nodeEdges(node) ?? [],
  );
  const branches: number[] = [];
  let ohms = 0;
  for (let at = String(b); at !== String(a); ) {
    const from = found[at]?.predecessor;
    if (from === undefined) return undefined;
    const edges = (graph.nodeEdges(at, from) ?? []).map(label);
    const best = edges.sort((x, y) => x.ohms - y.ohms)[0];
    if (best === undefined) return undefined;
    branches.unshift(best.branch);
    ohms += best.ohms;
    at = from;
  }
  return { branches, ohms };
}
