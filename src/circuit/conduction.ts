import type { View } from './circuit.ts';
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
  const crossing = new Map<number, number>(); // net outside → conductance to the inside
  let total = 0;
  const addedAt = indexByNet(added);
  const takeIn = (net: number): void => {
    const held = crossing.get(net);
    if (held !== undefined) {
      total -= held;
      crossing.delete(net);
    }
    const meet = (branch: Branch): void => {
      const other = branch.a === net ? branch.b : branch.a;
      if (inside.has(other)) return;
      const siemens = 1 / Math.max(branch.ohms, 1e-6);
      crossing.set(other, (crossing.get(other) ?? 0) + siemens);
      total += siemens;
    };
    for (const k of view.touching[net] ?? []) meet(view.network.branches[k] as Branch);
    for (const k of addedAt.get(net) ?? []) meet(added[k] as Branch);
  };
  takeIn(from);
  while (total * limitOhms >= 1 && crossing.size > 0) {
    let best = -1;
    let most = -1;
    for (const [net, siemens] of crossing) {
      if (siemens > most || (siemens === most && net < best)) {
        most = siemens;
        best = net;
      }
    }
    if (best === to) return undefined;
    inside.add(best);
    takeIn(best);
  }
  return inside;
}

/** Nets that a chain of resistances of at most `limitOhms` in all joins to `from`, itself included. */
export function reach(
  view: View,
  added: readonly Branch[],
  from: number,
  limitOhms: number,
): Map<number, number> {
  const settled = new Map<number, number>();
  const open = new Map<number, number>([[from, 0]]);
  const addedAt = indexByNet(added);
  while (open.size > 0) {
    let at = -1;
    let ohms = Number.POSITIVE_INFINITY;
    for (const [net, value] of open) {
      if (value < ohms) {
        ohms = value;
        at = net;
      }
    }
    open.delete(at);
    settled.set(at, ohms);
    const meet = (branch: Branch): void => {
      const other = branch.a === at ? branch.b : branch.a;
      const sum = ohms + branch.ohms;
      if (sum > limitOhms || settled.has(other)) return;
      if (sum < (open.get(other) ?? Number.POSITIVE_INFINITY)) open.set(other, sum);
    };
    for (const k of view.touching[at] ?? []) meet(view.network.branches[k] as Branch);
    for (const k of addedAt.get(at) ?? []) meet(added[k] as Branch);
  }
  return settled;
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
