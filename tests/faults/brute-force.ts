import { fit as fitOf, type Prediction } from '../../src/circuit/likelihood.ts';
import type { BoardState } from '../../src/circuit/state.ts';
import { actsOn, type Fault } from '../../src/faults/fault.ts';
import type { Problem } from '../../src/faults/problem.ts';
import { predict, worldOf } from '../../src/faults/world.ts';

/** Names a set of faults. */
export function setKey(ids: readonly number[]): string {
  return [...ids].sort((x, y) => x - y).join(' ');
}

/**
 * Weight of every set of faults by going through all of them, by {@link setKey}; they sum to 1. Shares
 * nothing with the search but the statement of the problem: resistances come from a dense elimination
 * of its own.
 * @returns undefined when there are more than `most` sets
 */
export function exactSets(problem: Problem, most: number): Map<string, number> | undefined {
  const { universe, observations } = problem;
  const faults = universe.faults.filter((fault) => fault.chance[0] > 0 || fault.chance[1] > 0);
  const groups = [...new Set(faults.map((fault) => fault.group))].map((group) =>
    faults.filter((fault) => fault.group === group),
  );
  if (groups.reduce((count, group) => count * (group.length + 1), 1) > most) return undefined;
  const bitOf = new Map(faults.map((fault, k) => [fault, 1 << k]));
  const kept = observations.map(() => new Map<number, number>());
  const acts = observations.map(({ state }) =>
    faults.reduce((bits, fault, k) => bits | (actsOn(fault, state) ? 1 << k : 0), 0),
  );
  const fitOf = (bits: number, k: number): number => {
    const here = bits & (acts[k] as number);
    let fit = kept[k]?.get(here);
    if (fit === undefined) {
      const present = faults.filter((_, n) => (here >> n) & 1);
      fit = likelihood(problem, observations[k] as Problem['observations'][number], present);
      kept[k]?.set(here, fit);
    }
    return fit;
  };
  const weights = new Map<string, number>();
  let total = 0;
  const take = (bits: number, prior: number): void => {
    let weight = prior;
    for (let k = 0; k < observations.length; k++) weight *= fitOf(bits, k);
    total += weight;
    weights.set(setKey(faults.filter((_, n) => (bits >> n) & 1).map(({ id }) => id)), weight);
  };
  // Groups exclude each other, banks mix two ways of failing.
  const go = (n: number, bits: number, prior: number, banks: readonly Ways[]): void => {
    const group = groups[n];
    if (group === undefined) {
      const mixed = banks.map(
        ([alone, together], bank) =>
          alone + (universe.bankChance[bank] as number) * (together - alone),
      );
      take(
        bits,
        mixed.reduce((product, one) => product * one, prior),
      );
      return;
    }
    const none = ([0, 1] as const).map((way) => 1 - group.reduce((s, f) => s + f.chance[way], 0));
    const bank = group[0]?.bank ?? -1;
    for (const [chance, bit] of [[none, 0], ...group.map((f) => [f.chance, bitOf.get(f)])] as [
      Ways,
      number,
    ][]) {
      if (bank < 0) go(n + 1, bits | bit, prior * chance[0], banks);
      else {
        const next = banks.map(
          (way, k): Ways => (k === bank ? [way[0] * chance[0], way[1] * chance[1]] : way),
        );
        go(n + 1, bits | bit, prior, next);
      }
    }
  };
  go(
    0,
    0,
    1,
    Array.from(universe.bankChance, (): Ways => [1, 1]),
  );
  for (const [key, weight] of weights) weights.set(key, weight / total);
  return weights;
}

/** Chance when nothing, and when something, took several of a bank. */
type Ways = readonly [number, number];

function likelihood(
  problem: Problem,
  observation: Problem['observations'][number],
  present: readonly Fault[],
): number {
  const { settings, meter } = problem;
  const { ohms, spread, tolerance } = denseOhms(
    problem,
    observation.state,
    present,
    observation.a,
    observation.b,
  );
  let truthful = 1;
  let misled = 1;
  let first: string | undefined;
  // What junctions carry is held against another simulator elsewhere.
  const lit = observation.entries.every(({ mode }) => mode === 'continuity')
    ? {}
    : throughJunctions(problem, observation, present);
  for (const entry of observation.entries) {
    const { mode, value } = entry;
    const slip = { beep: 0.3, quiet: 0.7, over: 0.3, ohms: 0.7 / 20, volts: 0.7 / 2.5 }[value.kind];
    const seen = { ...lit, ohms, spread, tolerance: () => tolerance };
    const explained = fitOf(meter, mode, value, seen, entry);
    truthful *= (1 - settings.slipRatio) * explained + settings.slipRatio * slip;
    misled *= first === undefined ? slip : value.kind === first ? 1 : settings.slipRatio * slip;
    first ??= value.kind;
  }
  return (1 - settings.stubbornRatio) * truthful + settings.stubbornRatio * misled;
}

function throughJunctions(
  problem: Problem,
  { state, a, b }: Problem['observations'][number],
  present: readonly Fault[],
): Pick<Prediction, 'through'> {
  const ids = present.map(({ id }) => id);
  const { through } = predict(worldOf(problem.circuit, problem.universe, state, ids), a, b);
  return through === undefined ? {} : { through };
}

/** Resistance and what the unknown ohms of the faults make of it, by dense elimination. */
export function denseOhms(
  problem: Pick<Problem, 'circuit'>,
  state: BoardState,
  present: readonly Fault[],
  a: number,
  b: number,
): { ohms: number; spread: number; tolerance: number } {
  const acting = present.filter((fault) => actsOn(fault, state));
  if (a === b) {
    const broken = acting.some((fault) => fault.what === 'copper' && fault.nets?.[0] === a);
    return { ohms: broken ? Number.POSITIVE_INFINITY : 0, spread: 0, tolerance: 0.03 };
  }
  const openPins = new Set(acting.filter((f) => f.what === 'joint').map((f) => f.pin));
  const openParts = new Set(acting.filter((f) => f.opensPart).map((f) => f.members[0]?.part));
  const isOff = (pin: number): boolean => state.lifted.has(pin) || openPins.has(pin);
  const edges: { a: number; b: number; ohms: number; spread: number; own: number }[] = [];
  for (const element of problem.circuit.elements) {
    if (state.off.has(element.part) || openParts.has(element.part)) continue;
    if (isOff(element.a) || isOff(element.b)) continue;
    edges.push({
      a: element.netA,
      b: element.netB,
      ohms: element.ohms,
      spread: 0,
      own: element.spread,
    });
  }
  for (const [x, y] of state.links) edges.push({ a: x, b: y, ohms: 0.02, spread: 0, own: 0 });
  for (const fault of acting) {
    for (const branch of fault.branches) {
      const hidden =
        fault.members.length === 1 && (openPins.has(branch.pinA) || openPins.has(branch.pinB));
      if (hidden || state.lifted.has(branch.pinA) || state.lifted.has(branch.pinB)) continue;
      edges.push({ a: branch.a, b: branch.b, ohms: branch.ohms, spread: fault.spread, own: 0 });
    }
  }
  const volts = nodeVolts(problem.circuit.board.nets.length, edges, a, b);
  if (volts === undefined) return { ohms: Number.POSITIVE_INFINITY, spread: 0, tolerance: 0 };
  const ohms = (volts[a] as number) - (volts[b] as number);
  let variance = 0;
  let tolerance = 0;
  for (const edge of edges) {
    const amps = ((volts[edge.a] as number) - (volts[edge.b] as number)) / edge.ohms;
    variance += (amps * amps * edge.ohms * edge.spread) ** 2;
    tolerance += ((amps * amps * edge.ohms * edge.own) / ohms) ** 2;
  }
  return {
    ohms,
    spread: Math.sqrt(variance) / (ohms + 0.2),
    tolerance: Math.sqrt(tolerance),
  };
}

/** Voltages for 1 A from `a` to `b`; undefined when no path joins them. */
function nodeVolts(
  count: number,
  edges: readonly { a: number; b: number; ohms: number }[],
  a: number,
  b: number,
): number[] | undefined {
  const joined = new Set([b]);
  for (let grown = true; grown; ) {
    grown = false;
    for (const edge of edges) {
      if (joined.has(edge.a) === joined.has(edge.b)) continue;
      joined.add(edge.a).add(edge.b);
      grown = true;
    }
  }
  if (!joined.has(a)) return undefined;
  const nodes = [...joined].filter((node) => node !== b);
  const place = new Map(nodes.map((node, k) => [node, k]));
  const n = nodes.length;
  const m = Array.from({ length: n }, () => new Array<number>(n + 1).fill(0));
  for (const edge of edges) {
    if (edge.a === edge.b || !joined.has(edge.a)) continue;
    const i = place.get(edge.a);
    const j = place.get(edge.b);
    const g = 1 / edge.ohms;
    if (i !== undefined) (m[i] as number[])[i]! += g;
    if (j !== undefined) (m[j] as number[])[j]! += g;
    if (i !== undefined && j !== undefined) {
      (m[i] as number[])[j]! -= g;
      (m[j] as number[])[i]! -= g;
    }
  }
  (m[place.get(a) as number] as number[])[n] = 1;
  for (let k = 0; k < n; k++) {
    let best = k;
    for (let r = k + 1; r < n; r++) if (Math.abs(m[r]![k]!) > Math.abs(m[best]![k]!)) best = r;
    [m[k], m[best]] = [m[best]!, m[k]!];
    for (let r = 0; r < n; r++) {
      if (r === k) continue;
      const factor = m[r]![k]! / m[k]![k]!;
      for (let c = k; c <= n; c++) m[r]![c]! -= factor * m[k]![c]!;
    }
  }
  const volts = new Array<number>(count).fill(0);
  nodes.forEach((node, k) => {
    volts[node] = m[k]![n]! / m[k]![k]!;
  });
  return volts;
}
