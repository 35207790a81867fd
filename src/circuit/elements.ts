import type { Board, ModeSpec, Part } from '../board/model.ts';

/** A resistance between two pins of one part (board-wide pin numbers). */
export interface PinResistance {
  readonly a: number;
  readonly b: number;
  /** Ω, above zero. */
  readonly ohms: number;
}

/** A junction between two pins of one part. */
export interface PinJunction {
  readonly anode: number;
  readonly cathode: number;
  /** Forward voltage at 1 mA, V. */
  readonly volts: number;
  /** Slope: emission coefficient n of I = Iₛ·(exp(V / n·V_T) − 1). */
  readonly slope: number;
}

/** One failed mode of one part, with its pins filled in. */
export interface PartMode {
  /** As the catalogue names it; what people read. */
  readonly name: string;
  /** Share of the part's failures, 0–1. */
  readonly share: number;
  /** The part's healthy elements are gone. */
  readonly opens: boolean;
  readonly joins: readonly PinResistance[];
  /** How far the joining resistance may lie from its stated value: standard deviation of ln Ω. */
  readonly spread: number;
}

/** What a part is to a meter: its elements when healthy and in every failed mode. */
export interface PartModel {
  readonly part: number;
  readonly healthy: readonly PinResistance[];
  readonly junctions: readonly PinJunction[];
  readonly modes: readonly PartMode[];
}

/** Below this a "short" is as good as zero to every meter; keeps ratios of conductances sane. */
const LEAST_OHMS = 1e-4;

/**
 * Works out every part of a board. Modes that no meter could show on this board (pins on one net,
 * opens of a part that conducts nothing) are left out.
 */
export function partModels(board: Board): PartModel[] {
  const roles = new PinRoles(board);
  return board.parts.map((part) => partModel(board, part, roles));
}

function partModel(board: Board, part: Part, roles: PinRoles): PartModel {
  const pinNamed = new Map(part.pins.map((pin) => [board.pins[pin]?.name ?? '', pin]));
  const healthy: PinResistance[] = [];
  const junctions: PinJunction[] = [];
  for (const spec of part.kind.healthy) {
    if (spec.element === 'resistance') {
      const a = pinNamed.get(spec.between[0]);
      const b = pinNamed.get(spec.between[1]);
      const ohms = spec.ohms === 'value' ? (part.ohms ?? part.kind.typicalOhms) : spec.ohms;
      if (a !== undefined && b !== undefined && ohms !== undefined) {
        healthy.push({ a, b, ohms: Math.max(ohms, LEAST_OHMS) });
      }
    } else {
      const anode = pinNamed.get(spec.from);
      const cathode = pinNamed.get(spec.to);
      if (anode !== undefined && cathode !== undefined) {
        junctions.push({ anode, cathode, volts: spec.volts, slope: spec.slope });
      }
    }
  }
  for (const winding of part.windings) {
    const [a, b] = winding.pins;
    healthy.push({ a, b, ohms: Math.max(winding.ohms, LEAST_OHMS) });
  }
  const modes = part.kind.modes.flatMap((spec) =>
    expandMode(board, part, spec, pinNamed, roles, healthy.length > 0),
  );
  return { part: part.index, healthy, junctions, modes };
}

function expandMode(
  board: Board,
  part: Part,
  spec: ModeSpec,
  pinNamed: ReadonlyMap<string, number>,
  roles: PinRoles,
  conducts: boolean,
): PartMode[] {
  if (spec.joins.length === 0) {
    if (!spec.opens || !conducts) return [];
    return [{ name: spec.name, share: spec.share, opens: true, joins: [], spread: 0 }];
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

type PinPair = readonly [number, number];

function pinPairs(
  board: Board,
  part: Part,
  a: string,
  b: string,
  pinNamed: ReadonlyMap<string, number>,
  roles: PinRoles,
): PinPair[] {
  if (a === '@each' && b === '@next') return neighbourPairs(board, part);
  const from = a.startsWith('@') ? roles.pins(part, a) : present(pinNamed.get(a));
  const to = b.startsWith('@') ? roles.pins(part, b) : present(pinNamed.get(b));
  const pairs = new Map<number, PinPair>();
  for (const x of from) {
    for (const y of to) {
      const nx = board.pins[x]?.net ?? 0;
      const ny = board.pins[y]?.net ?? 0;
      const key = nx * board.nets.length + ny; // several pins on one net are one place to a meter
      if (nx !== ny && !pairs.has(key)) pairs.set(key, [x, y]);
    }
  }
  return [...pairs.values()];
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

/**
 * A failed mode's range of ohms as a few levels. A narrow range is one level at its geometric
 * middle; a wide one is cut so that no level spans more than a decade, since whether it beeps
 * depends on where in the range it lies.
 */
function resistanceLevels(
  range: readonly [number, number],
): { ohms: number; spread: number; share: number }[] {
  const low = Math.max(range[0], LEAST_OHMS);
  const high = Math.max(range[1], low);
  const lowVisible = Math.max(low, 0.05); // below lead resistance differences cannot be seen
  const decades = Math.log10(Math.max(high, lowVisible) / lowVisible);
  const count = high <= 5 ? 1 : Math.max(1, Math.ceil(decades));
  if (count === 1) {
    const ohms = Math.sqrt(low * high);
    return [{ ohms, spread: Math.log(high / low) / Math.sqrt(12), share: 1 }];
  }
  const step = (high / low) ** (1 / count);
  return Array.from({ length: count }, (_, k) => ({
    ohms: low * step ** (k + 0.5),
    spread: Math.log(step) / Math.sqrt(12),
    share: 1 / count,
  }));
}

const SUPPLY_NAME = /^(V(CC|DD|IN|BAT|BUS|S|\+)\w*|AVCC|AVDD|IN|\+)$/i;
const GROUND_NAME = /^(GND\w*|VSS\w*|AGND|DGND|PGND|VEE|V-|-|EP|PAD)$/i;

/** Which pins of a part stand for `@supply`, `@ground` and `@each`. Rails decide, then pin names. */
class PinRoles {
  readonly #board: Board;
  readonly #plus: ReadonlySet<number>;
  readonly #minus: ReadonlySet<number>;
  // Roles of the part asked about last: its modes ask one after the other.
  #last: Part | undefined;
  readonly #held = new Map<string, readonly number[]>();

  constructor(board: Board) {
    this.#board = board;
    this.#plus = new Set(board.rails.map((rail) => rail.plus));
    this.#minus = new Set(board.rails.map((rail) => rail.minus));
  }

  pins(part: Part, role: string): readonly number[] {
    if (part !== this.#last) {
      this.#last = part;
      this.#held.clear();
    }
    let pins = this.#held.get(role);
    if (pins === undefined) {
      pins = this.#find(part, role);
      this.#held.set(role, pins);
    }
    return pins;
  }

  #find(part: Part, role: string): readonly number[] {
    const ground = this.#ground(part);
    const supply = this.#supply(part).filter((pin) => !ground.includes(pin));
    if (role === '@ground') return ground;
    if (role === '@supply') return supply;
    if (role === '@each') {
      return part.pins.filter((pin) => !ground.includes(pin) && !supply.includes(pin));
    }
    return [];
  }

  #ground(part: Part): number[] {
    const byRail = part.pins.filter((pin) => this.#minus.has(this.#board.pins[pin]?.net ?? -1));
    if (byRail.length > 0) return byRail;
    return part.pins.filter((pin) => GROUND_NAME.test(this.#board.pins[pin]?.name ?? ''));
  }

  #supply(part: Part): number[] {
    const byRail = part.pins.filter((pin) => this.#plus.has(this.#board.pins[pin]?.net ?? -1));
    if (byRail.length > 0) return byRail;
    return part.pins.filter((pin) => SUPPLY_NAME.test(this.#board.pins[pin]?.name ?? ''));
  }
}
