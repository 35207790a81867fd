import type { Board, ModeSpec, Part } from '../board/model.ts';
import { LEAST_OHMS, type PartMode, type PinResistance } from './part-model.ts';
import type { PinNames, PinRoles } from './pin-roles.ts';

/** What is known of a part when its failed modes are worked out. */
export interface KnownPart {
  readonly board: Board;
  readonly part: Part;
  readonly pinNamed: PinNames;
  readonly roles: PinRoles;
  readonly healthy: readonly PinResistance[];
}

/** Opens of a part that conducts through a resistance, and shorts, to its heatsink too. */
export function failedModes(known: KnownPart): PartMode[] {
  return known.part.kind.modes.flatMap((spec) =>
    spec.toHeatsink === undefined
      ? expandMode(known, spec)
      : punctured(known, spec, spec.toHeatsink),
  );
}

/** A tab on a heatsink that is wired to a net, unless it is on that net already. */
function punctured(known: KnownPart, spec: ModeSpec, metal: string): PartMode[] {
  const { board, part, pinNamed, roles } = known;
  const sink = board.heatsinks?.find(({ name }) => name === part.heatsink);
  const pin = metal.startsWith('@') ? roles.mainPin(part, metal) : pinNamed.get(metal);
  if (sink === undefined || pin === undefined || board.pins[pin]?.net === sink.net) return [];
  return resistanceLevels(spec.ohms).map(({ ohms, spread, share }) => ({
    name: spec.name,
    share: spec.share * share,
    opens: false,
    joins: [],
    netJoins: [{ pin, net: sink.net, ohms }],
    spread,
  }));
}

function expandMode(known: KnownPart, spec: ModeSpec): readonly PartMode[] {
  const { board, part, pinNamed, roles, healthy } = known;
  if (spec.joins.length === 0) {
    return spec.opens && healthy.length > 0 ? openMode(spec) : [];
  }
  if (spec.joins.length === 1) {
    const [a, b] = spec.joins[0] as readonly [string, string];
    if (!a.startsWith('@') && !b.startsWith('@')) return joining(known, spec, a, b);
  }
  const choices = spec.joins.map(([a, b]) => pinPairs(board, part, a, b, pinNamed, roles));
  const several =
    choices.length === 1 ? (choices[0] as PinPair[]).map((pair) => [pair]) : [choices.flat()];
  const visible = several
    .map((pairs) => pairs.filter((p) => board.pins[p[0]]?.net !== board.pins[p[1]]?.net))
    .filter((pairs) => pairs.length > 0);
  const levels = resistanceLevels(spec.ohms);
  return visible.flatMap((pairs) =>
    levels.map(({ ohms, spread, share }) => ({
      name: spec.name,
      share: (spec.share * share) / visible.length,
      opens: spec.opens,
      joins: pairs.map(([a, b]) => ({ a, b, ohms })),
      spread,
    })),
  );
}

/** What gone open is, the same for all parts of a kind. */
function openMode(spec: ModeSpec): readonly PartMode[] {
  let modes = OPEN.get(spec);
  if (modes === undefined) {
    const { name, share } = spec;
    modes = [{ name, share, opens: true, joins: [], spread: 0 }];
    OPEN.set(spec, modes);
  }
  return modes;
}

const OPEN = new WeakMap<ModeSpec, readonly PartMode[]>();

/** Two pins joined: what nearly every short of nearly every part is. */
function joining({ board, pinNamed }: KnownPart, spec: ModeSpec, a: string, b: string): PartMode[] {
  const from = pinNamed.get(a);
  const to = pinNamed.get(b);
  if (from === undefined || to === undefined || netAt(board, from) === netAt(board, to)) return [];
  return resistanceLevels(spec.ohms).map(({ ohms, spread, share }) => ({
    name: spec.name,
    share: spec.share * share,
    opens: spec.opens,
    joins: [{ a: from, b: to, ohms }],
    spread,
  }));
}

type PinPair = readonly [number, number];

function pinPairs(
  board: Board,
  part: Part,
  a: string,
  b: string,
  pinNamed: PinNames,
  roles: PinRoles,
): PinPair[] {
  if (a === '@each' && b === '@next') return neighbourPairs(board, part);
  if (a === '@any' && b === '@any') return anyPairs(board, part);
  const from = a.startsWith('@') ? roles.pins(part, a) : present(pinNamed.get(a));
  const to = b.startsWith('@') ? roles.pins(part, b) : present(pinNamed.get(b));
  // Several pins on one net are one place to a meter.
  const ends = firstOnNets(board, to);
  const pairs: PinPair[] = [];
  for (const x of firstOnNets(board, from)) {
    const net = netAt(board, x);
    for (const y of ends) if (netAt(board, y) !== net) pairs.push([x, y]);
  }
  return pairs;
}

/** The first pin of those given on each of their nets: large ICs have hundreds on one. */
function firstOnNets(board: Board, pins: readonly number[]): number[] {
  const seen = new Set<number>();
  return pins.filter((pin) => {
    const net = netAt(board, pin);
    return seen.has(net) ? false : seen.add(net);
  });
}

function netAt(board: Board, pin: number): number {
  return board.pins[pin]?.net ?? 0;
}

function present(pin: number | undefined): number[] {
  return pin === undefined ? [] : [pin];
}

/** Pins beside each other in the part's pin order, one pair for each two nets. */
function neighbourPairs(board: Board, part: Part): PinPair[] {
  const pairs = new Map<string, PinPair>();
  for (let k = 0; k + 1 < part.pins.length; k++) {
    const a = part.pins[k] as number;
    const b = part.pins[k + 1] as number;
    const na = board.pins[a]?.net ?? 0;
    const nb = board.pins[b]?.net ?? 0;
    const key = na < nb ? `${na}-${nb}` : `${nb}-${na}`;
    if (na !== nb && !pairs.has(key)) pairs.set(key, [a, b]);
  }
  return [...pairs.values()];
}

/** With more nets, not every two of them are taken: their number grows with the square. */
const MOST_NETS_OF_PAIRS = 6;

/**
 * Any two pins, one pair for each two nets; of a part with many nets those beside each other, and each
 * with the net that has most pins on the board, ground as a rule.
 */
function anyPairs(board: Board, part: Part): PinPair[] {
  const first = new Map<number, number>();
  for (const pin of part.pins) {
    const net = board.pins[pin]?.net ?? 0;
    if (!first.has(net)) first.set(net, pin);
  }
  const pins = [...first.values()];
  if (pins.length <= MOST_NETS_OF_PAIRS) {
    return pins.flatMap((a, k) => pins.slice(k + 1).map((b): PinPair => [a, b]));
  }
  const size = (pin: number): number => board.nets[board.pins[pin]?.net ?? 0]?.pins.length ?? 0;
  const widest = pins.reduce((best, pin) => (size(pin) > size(best) ? pin : best));
  const beside = neighbourPairs(board, part);
  const known = new Set(beside.map((pair) => netsKey(board, pair)));
  const toWidest = pins
    .filter((pin) => pin !== widest)
    .map((pin): PinPair => [pin, widest])
    .filter((pair) => !known.has(netsKey(board, pair)));
  return [...beside, ...toWidest];
}

function netsKey(board: Board, pair: PinPair): string {
  return pair
    .map((pin) => board.pins[pin]?.net ?? 0)
    .toSorted((a, b) => a - b)
    .join('-');
}

/** One stretch of a range of ohms, or of factors. */
export interface Level {
  readonly middle: number;
  /** Standard deviation of the logarithm. */
  readonly spread: number;
  readonly share: number;
}

/**
 * A failed mode's range of ohms as a few levels. A narrow range is one level at its geometric
 * middle; a wide one is cut so that no level spans more than a decade, since whether it beeps
 * depends on where in the range it lies.
 */
export function resistanceLevels(range: readonly [number, number]): readonly OhmsLevel[] {
  let levels = LEVELS.get(range);
  if (levels === undefined) {
    levels = levelsIn(range);
    LEVELS.set(range, levels);
  }
  return levels;
}

interface OhmsLevel {
  readonly ohms: number;
  readonly spread: number;
  readonly share: number;
}

/** All parts of a kind share its ranges. */
const LEVELS = new WeakMap<readonly [number, number], readonly OhmsLevel[]>();

function levelsIn(range: readonly [number, number]): readonly OhmsLevel[] {
  const low = Math.max(range[0], LEAST_OHMS);
  const high = Math.max(range[1], low);
  const lowVisible = Math.max(low, 0.05); // below lead resistance differences cannot be seen
  const decades = Math.log10(Math.max(high, lowVisible) / lowVisible);
  const count = high <= 5 ? 1 : Math.max(1, Math.ceil(decades));
  return stretches(low, high, count).map(({ middle, ...rest }) => ({ ohms: middle, ...rest }));
}

/** A range of factors, cut by decades, and at 1: a value as it should be is no failure. */
export function factorLevels([low, high]: readonly [number, number]): Level[] {
  if (low < 1 && high > 1) {
    const below = Math.log(1 / low) / Math.log(high / low);
    return [
      ...factorLevels([low, 1]).map((level) => ({ ...level, share: level.share * below })),
      ...factorLevels([1, high]).map((level) => ({ ...level, share: level.share * (1 - below) })),
    ];
  }
  return stretches(low, high, Math.max(1, Math.ceil(Math.log10(high / low))));
}

function stretches(low: number, high: number, count: number): Level[] {
  if (count === 1) {
    return [
      { middle: Math.sqrt(low * high), spread: Math.log(high / low) / Math.sqrt(12), share: 1 },
    ];
  }
  const step = (high / low) ** (1 / count);
  return Array.from({ length: count }, (_, k) => ({
    middle: low * step ** (k + 0.5),
    spread: Math.log(step) / Math.sqrt(12),
    share: 1 / count,
  }));
}
