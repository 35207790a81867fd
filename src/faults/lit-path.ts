import type { BoardJunction, View } from '../circuit/circuit.ts';
import type { Branch } from '../circuit/network.ts';
import { Heap } from './heap.ts';

/** Ω that a junction counts for beside the resistances in a path: it takes most of what is there. */
const JUNCTION_OHMS = 500;

/** What a current passes on its way between two nets. */
export interface LitPath {
  /** Branches of the view; those past its own are the added ones. */
  readonly branches: readonly number[];
  readonly junctions: readonly BoardJunction[];
}

interface Step {
  readonly from: number;
  readonly branch?: number;
  readonly junction?: BoardJunction;
}

/**
 * The easiest way for a current from one net to another, through junctions in their forward
 * direction too; undefined when there is none.
 */
export function litPath(
  view: View,
  added: readonly Branch[],
  from: number,
  to: number,
): LitPath | undefined {
  const { branches } = view.network;
  const own = branches.length;
  const reached = new Map<number, Step | undefined>();
  const heap = new Heap<{ readonly net: number; readonly ohms: number; readonly by?: Step }>();
  heap.push(0, { net: from, ohms: 0 });
  for (let next = heap.pop(); next !== undefined; next = heap.pop()) {
    const { net, ohms, by } = next;
    if (reached.has(net)) continue;
    reached.set(net, by);
    if (net === to) return backFrom(reached, from, to);
    const offer = (end: number, more: number, step: Step): void => {
      if (reached.has(end)) return;
      heap.push(-(ohms + more), { net: end, ohms: ohms + more, by: step });
    };
    const pass = ({ a, b, ohms: more }: Branch, branch: number): void => {
      if (a === net || b === net) offer(a === net ? b : a, more, { from: net, branch });
    };
    for (const k of view.touching[net] ?? []) pass(branches[k] as Branch, k);
    added.forEach((branch, k) => {
      pass(branch, own + k);
    });
    for (const junction of view.junctionsFrom(net)) {
      offer(junction.netK, JUNCTION_OHMS, { from: net, junction });
    }
  }
  return undefined;
}

function backFrom(
  reached: ReadonlyMap<number, Step | undefined>,
  from: number,
  to: number,
): LitPath {
  const branches: number[] = [];
  const junctions: BoardJunction[] = [];
  for (let at = to; at !== from; ) {
    const step = reached.get(at);
    if (step === undefined) break;
    if (step.branch !== undefined) branches.push(step.branch);
    if (step.junction !== undefined) junctions.push(step.junction);
    at = step.from;
  }
  return { branches, junctions };
}

type ByNet = ReadonlyMap<number, readonly BoardJunction[]>;

/** By view: its junctions, by the net of their anodes, and of their cathodes. */
const AT_NET = new WeakMap<View, { readonly anode: ByNet; readonly cathode: ByNet }>();

function junctionsAt(view: View): { readonly anode: ByNet; readonly cathode: ByNet } {
  let held = AT_NET.get(view);
  if (held === undefined) {
    held = {
      anode: byNet(view.junctions, ({ netA }) => netA),
      cathode: byNet(view.junctions, ({ netK }) => netK),
    };
    AT_NET.set(view, held);
  }
  return held;
}

function byNet(
  junctions: readonly BoardJunction[],
  netOf: (junction: BoardJunction) => number,
): ByNet {
  const lists = new Map<number, BoardJunction[]>();
  for (const junction of junctions) {
    const list = lists.get(netOf(junction));
    if (list === undefined) lists.set(netOf(junction), [junction]);
    else list.push(junction);
  }
  return lists;
}

/**
 * Nets that a current from one net can reach, through junctions in their forward direction too.
 * @param backward instead: nets it can come from to get there
 */
export function litReach(
  view: View,
  added: readonly Branch[],
  net: number,
  backward = false,
): ReadonlySet<number> {
  const { anode, cathode } = junctionsAt(view);
  const reached = new Set([net]);
  const open = [net];
  for (let at = open.pop(); at !== undefined; at = open.pop()) {
    const offer = (end: number): void => {
      if (reached.has(end)) return;
      reached.add(end);
      open.push(end);
    };
    const pass = ({ a, b }: Branch): void => {
      if (a === at) offer(b);
      else if (b === at) offer(a);
    };
    for (const k of view.touching[at] ?? []) pass(view.network.branches[k] as Branch);
    for (const branch of added) pass(branch);
    for (const junction of (backward ? cathode : anode).get(at) ?? []) {
      offer(backward ? junction.netA : junction.netK);
    }
  }
  return reached;
}
