import type { Board } from '../board/model.ts';
import type { View } from '../circuit/circuit.ts';
import { findIslands } from '../circuit/network.ts';

/** Nets joined by less than this are one piece of copper to a beeper. */
export const SAME_COPPER_OHMS = 0.05;

const KNOWN = new WeakMap<View, Int32Array>();

/** By net: of the nets joined to it by wire links, the one with most pads, easiest to reach. */
export function handiestNets(board: Board, view: View): Int32Array {
  let handiest = KNOWN.get(view);
  if (handiest === undefined) {
    handiest = find(board, view);
    KNOWN.set(view, handiest);
  }
  return handiest;
}

function find({ nets }: Board, { network }: View): Int32Array {
  const links = network.branches.filter(({ ohms }) => ohms < SAME_COPPER_OHMS);
  const { island, count } = findIslands(network.nodeCount, links);
  const best = new Int32Array(count).fill(-1);
  const pads = (net: number): number => nets[net]?.pins.length ?? -1;
  for (let net = 0; net < nets.length; net++) {
    const at = island[net] as number;
    if (pads(net) > pads(best[at] as number)) best[at] = net;
  }
  return island.map((at) => best[at] as number);
}
