import type { View } from './circuit.ts';
import { LeastFirst } from './least-first.ts';
import type { Branch } from './network.ts';

/**
 * Nets around `from` that are left only through so little conductance that no reading to a net
 * outside can fall below `limitOhms` unless something crosses the border.
 *
 * Rayleigh: shorting everything inside and everything outside only lowers resistances, so a
 * reading across the border is at least 1 / (conductance across it).
 * @returns undefined when `to` had to be taken in before such a border was found
 */
export function strongSet(
  view: View,
  added: readonly Branch[],
  from: number,
  to: number,
  limitOhms: number,
): Set<number> | undefined {
  const inside = new Set<number>([from]);
  const crossing = crossingOf(view.touching.length);
  const met: number[] = [];
  let outside = 0;
  const strongest = new LeastFirst(); // with entries that have grown since, which count no more
  let total = 0;
  const addedAt = indexByNet(added);
  const takeIn = (net: number): void => {
    const held = crossing[net] as number;
    if (held > 0) {
      total -= held;
      crossing[net] = 0;
      outside--;
    }
    const meet = (branch: Branch): void => {
      const other = branch.a === net ? branch.b : branch.a;
      if (inside.has(other)) return;
      const siemens = 1 / Math.max(branch.ohms, 1e-6);
      const before = crossing[other] as number;
      if (before === 0) {
        outside++;
        met.push(other);
      }
      const sum = before + siemens;
      crossing[other] = sum;
      strongest.push(-sum, other, other);
      total += siemens;
    };
    for (const k of view.touching[net] ?? []) meet(view.network.branches[k] as Branch);
    for (const k of addedAt.get(net) ?? []) meet(added[k] as Branch);
  };
  takeIn(from);
  let isBorder = true;
  while (total * limitOhms >= 1 && outside > 0) {
    const siemens = -strongest.leastKey;
    const best = strongest.pop();
    if (crossing[best] !== siemens) continue;
    isBorder = best !== to;
    if (!isBorder) break;
    inside.add(best);
    takeIn(best);
  }
  for (const net of met) crossing[net] = 0;
  return isBorder ? inside : undefined;
}

/** By net outside: conductance to the inside, 0 where none is known; all 0 between calls. */
const WORKSPACE = { crossing: new Float64Array(0) };

function crossingOf(nets: number): Float64Array {
  if (WORKSPACE.crossing.length < nets) WORKSPACE.crossing = new Float64Array(nets);
  return WORKSPACE.crossing;
}

/** Nets that a chain of resistances of at most `limitOhms` in all joins to `from`, itself included. */
export function reach(
  view: View,
  added: readonly Branch[],
  from: number,
  limitOhms: number,
): Map<number, number> {
  // Most nets of a board have nothing on them that conducts.
  if (added.length === 0 && view.touching[from]?.length === 0) return new Map([[from, 0]]);
  const settled = new Map<number, number>();
  const open = new Map<number, { ohms: number; readonly turn: number }>([
    [from, { ohms: 0, turn: 0 }],
  ]);
  const nearest = new LeastFirst(); // with entries that have come nearer since, which count no more
  nearest.push(0, 0, from);
  const addedAt = indexByNet(added);
  while (nearest.size > 0) {
    const ohms = nearest.leastKey;
    const at = nearest.pop();
    if (settled.has(at) || open.get(at)?.ohms !== ohms) continue;
    settled.set(at, ohms);
    const meet = (branch: Branch): void => {
      const other = branch.a === at ? branch.b : branch.a;
      const sum = ohms + branch.ohms;
      if (sum > limitOhms || settled.has(other)) return;
      let held = open.get(other);
      if (held === undefined) {
        held = { ohms: sum, turn: open.size };
        open.set(other, held);
      } else if (sum >= held.ohms) return;
      held.ohms = sum;
      nearest.push(sum, held.turn, other);
    };
    for (const k of view.touching[at] ?? []) meet(view.network.branches[k] as Branch);
    for (const k of addedAt.get(at) ?? []) meet(added[k] as Branch);
  }
  return settled;
}

/** A way between two nets: branch numbers from the one to the other, and the sum of their ohms. */
export interface EasiestWay {
  /** Added branches follow the view's own. */
  readonly branches: readonly number[];
  readonly ohms: number;
}

/**
 * The way of least resistance between two nets; of ways alike, the one over the earlier branches.
 * @returns undefined when nothing joins them
 */
export function easiestWay(
  view: View,
  added: readonly Branch[],
  a: number,
  b: number,
): EasiestWay | undefined {
  const { branches: own, island } = view.network;
  if (added.length === 0 && island[a] !== island[b]) return undefined;
  const addedAt = indexByNet(added);
  const ohmsTo = new Map<number, number>([[a, 0]]);
  const over = new Map<number, number>(); // net → branch that leads to it
  const settled = new Set<number>();
  const nearest = new LeastFirst();
  nearest.push(0, 0, a);
  const branchOf = (k: number): Branch => (own[k] ?? added[k - own.length]) as Branch;
  while (nearest.size > 0) {
    const ohms = nearest.leastKey;
    const at = nearest.pop();
    if (settled.has(at)) continue;
    settled.add(at);
    if (at === b) break;
    const meet = (k: number): void => {
      const branch = branchOf(k);
      const other = branch.a === at ? branch.b : branch.a;
      const sum = ohms + branch.ohms;
      if (sum >= (ohmsTo.get(other) ?? Number.POSITIVE_INFINITY)) return;
      ohmsTo.set(other, sum);
      over.set(other, k);
      nearest.push(sum, k, other);
    };
    for (const k of view.touching[at] ?? []) meet(k);
    for (const k of addedAt.get(at) ?? []) meet(own.length + k);
  }
  if (!settled.has(b)) return undefined;
  const branches: number[] = [];
  for (let at = b; at !== a; ) {
    const k = over.get(at) as number;
    branches.unshift(k);
    const branch = branchOf(k);
    at = branch.a === at ? branch.b : branch.a;
  }
  return { branches, ohms: ohmsTo.get(b) as number };
}

function indexByNet(added: readonly Branch[]): Map<number, number[]> {
  const at = new Map<number, number[]>();
  added.forEach(({ a, b }, k) => {
    for (const net of a === b ? [] : [a, b]) {
      const held = at.get(net);
      if (held === undefined) at.set(net, [k]);
      else held.push(k);
    }
  });
  return at;
}
