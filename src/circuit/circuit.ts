import type { Board, Part } from '../board/model.ts';
import { type PartModel, type PinJunction, type PinResistance, partModels } from './elements.ts';
import { type Lit, withJunctions } from './lit.ts';
import { type Branch, LARGE_NETWORK, Network } from './network.ts';
import type { BoardState } from './state.ts';

/** One resistive element of the healthy board. */
export interface BoardElement extends PinResistance {
  readonly part: number;
  readonly netA: number;
  readonly netB: number;
  /** Standard deviation of ln Ω: what a new part of this kind may differ by. */
  readonly spread: number;
}

/** One junction of the healthy board, between two nets. */
export interface BoardJunction extends PinJunction {
  readonly part: number;
  readonly netA: number;
  readonly netK: number;
}

/** The board's linear circuit at one moment, less what is lifted, off or open. */
export interface View extends Lit<BoardJunction> {
  /** Element behind each branch of the network; −1 for a link the technician accepted. */
  readonly elementOf: Int32Array;
  /** By net: branch numbers that touch it. */
  readonly touching: readonly (readonly number[])[];
  /** Those of its junctions whose anode is on a net; for who asks for few nets. */
  junctionsFrom(net: number): readonly BoardJunction[];
}

/** The part of a view that resistances make; views that differ in junctions alone share it. */
type Linear = Omit<View, 'junctions' | 'junctionsFrom' | 'lit'>;

/** Things gone open, beside what the state has lifted, and what conducts one way in their place. */
export interface Opens {
  readonly parts: ReadonlySet<number>;
  readonly pins: ReadonlySet<number>;
  /** Junctions that failed parts have and sound ones have not; default: none. */
  readonly junctions?: readonly BoardJunction[];
}

export const NO_OPENS: Opens = { parts: new Set(), pins: new Set() };

/** How many views are kept, the oldest going first: as many as these columns of a network fill. */
const KEPT_ENTRIES = 2e7;
const MOST_VIEWS = 400;
const LEAST_VIEWS = 16;
/** Large networks keep no columns; a view takes about a megabyte at 20,000 nets. */
const LEAST_LARGE_VIEWS = 64;

/** A board as circuits: one for every state and set of opens asked for, each built once. */
export class Circuit {
  readonly board: Board;
  readonly models: readonly PartModel[];
  readonly elements: readonly BoardElement[];
  #junctions: readonly BoardJunction[] | undefined;
  /** By net asked for: junctions with their anode on it. */
  readonly #fromNet = new Map<number, readonly BoardJunction[]>();
  #ofPart: readonly (readonly BoardElement[])[] | undefined;
  /** By part: number of its first element; those of one part follow each other. */
  readonly #firstOf: Int32Array;
  readonly #keptViews: number;
  readonly #whole: Whole;
  #likely: Network | undefined;
  #mostSpread: number | undefined;
  /** By part: 1 when its kind has junctions. */
  readonly #hasJunctions: Uint8Array;
  readonly #views = new Map<string, View>();
  readonly #linear = new Map<string, Linear>();
  readonly #plain = new WeakMap<BoardState, View>(); // a state asked for again, with no opens

  constructor(board: Board) {
    this.board = board;
    this.models = partModels(board);
    this.elements = this.models.flatMap((model) =>
      model.healthy.map(({ a, b, ohms }) => ({
        a,
        b,
        ohms,
        part: model.part,
        netA: netOf(board, a),
        netB: netOf(board, b),
        spread: spreadOf(board.parts[model.part] as Part),
      })),
    );
    this.#whole = wholeOf(this.elements);
    this.#firstOf = new Int32Array(board.parts.length);
    for (let k = this.elements.length - 1; k >= 0; k--) {
      this.#firstOf[(this.elements[k] as BoardElement).part] = k;
    }
    const fitting = Math.floor(KEPT_ENTRIES / board.nets.length ** 2);
    const least = board.nets.length < LARGE_NETWORK ? LEAST_VIEWS : LEAST_LARGE_VIEWS;
    this.#keptViews = Math.max(least, Math.min(MOST_VIEWS, fitting));
    this.#hasJunctions = Uint8Array.from(board.parts, ({ kind }) =>
      kind.healthy.some(({ element }) => element === 'junction') ? 1 : 0,
    );
  }

  /** Standard deviation of ln Ω of the least certain element. */
  get mostSpread(): number {
    this.#mostSpread ??= this.elements.reduce((most, { spread }) => Math.max(most, spread), 0);
    return this.#mostSpread;
  }

  /** The resistive elements of one part. */
  elementsOf(part: number): readonly BoardElement[] {
    if (this.#ofPart === undefined) {
      const lists: BoardElement[][] = this.board.parts.map(() => []);
      for (const element of this.elements) lists[element.part]?.push(element);
      this.#ofPart = lists;
    }
    return this.#ofPart[part] ?? [];
  }

  /** All junctions of the healthy board. */
  get junctions(): readonly BoardJunction[] {
    this.#junctions ??= this.models.flatMap((model) => this.#junctionsOf(model));
    return this.#junctions;
  }

  #junctionsOf({ part, junctions }: PartModel): BoardJunction[] {
    return junctions.map(({ anode, cathode, volts, slope }) => ({
      anode,
      cathode,
      volts,
      slope,
      part,
      netA: netOf(this.board, anode),
      netK: netOf(this.board, cathode),
    }));
  }

  /** Of the healthy board, those with their anode on a net. */
  #junctionsFrom(net: number): readonly BoardJunction[] {
    let found = this.#fromNet.get(net);
    if (found === undefined) {
      const { nets, pins } = this.board;
      const parts = new Set(nets[net]?.pins.map((pin) => pins[pin]?.part ?? -1));
      found = [...parts]
        .sort((x, y) => x - y)
        .flatMap((part) => this.#junctionsOf(this.models[part] as PartModel))
        .filter(({ netA }) => netA === net);
      this.#fromNet.set(net, found);
    }
    return found;
  }

  /** The circuit under a state with some opens. States that differ only in parts that conduct nothing share one. */
  view(state: BoardState, opens: Opens = NO_OPENS): View {
    if (opens !== NO_OPENS) return this.#find(state, opens);
    let view = this.#plain.get(state);
    if (view === undefined) {
      view = this.#find(state, opens);
      this.#plain.set(state, view);
    }
    return view;
  }

  #find(state: BoardState, opens: Opens): View {
    const gone = this.#goneFrom(state, opens);
    const key = `${gone.join(',')}|${state.links.map(([a, b]) => `${a}-${b}`).join(',')}`;
    const viewKey = `${key}|${this.#darkKey(state, opens)}`;
    const known = this.#views.get(viewKey);
    if (known !== undefined) return known;
    let linear = this.#linear.get(key);
    if (linear === undefined) {
      linear = this.#build(gone, state.links);
      keep(this.#linear, key, linear, this.#keptViews);
    }
    const view = this.#lightUp(linear, state, opens);
    keep(this.#views, viewKey, view, this.#keptViews);
    return view;
  }

  /** Numbers of the elements that a state and opens take out of circuit, ascending. */
  #goneFrom(state: BoardState, opens: Opens): number[] {
    const gone: number[] = [];
    for (const part of this.#touched(state, opens)) {
      const from = this.#firstOf[part] as number;
      this.elementsOf(part).forEach(({ a, b }, k) => {
        if (!conducts(part, a, b, state, opens)) gone.push(from + k);
      });
    }
    return gone.sort((x, y) => x - y);
  }

  /** Parts some of which may be out of circuit. */
  #touched(state: BoardState, opens: Opens): ReadonlySet<number> {
    const { pins } = this.board;
    const touched = new Set<number>([...state.off, ...opens.parts]);
    for (const pin of [...state.lifted, ...opens.pins]) touched.add(pins[pin]?.part ?? -1);
    return touched;
  }

  /** What is out of circuit of the parts that have junctions; equal for equal sets of junctions. */
  #darkKey(state: BoardState, opens: Opens): string {
    const parts = [...state.off, ...opens.parts].filter((part) => this.#hasJunctions[part] === 1);
    const pins = [...state.lifted, ...opens.pins].filter(
      (pin) => this.#hasJunctions[this.board.pins[pin]?.part ?? -1] === 1,
    );
    const list = (numbers: number[]): string =>
      [...new Set(numbers)].sort((a, b) => a - b).join(',');
    const put = (opens.junctions ?? []).map(
      ({ netA, netK, volts, slope }) => `${netA}>${netK}@${volts}/${slope}`,
    );
    return `${list(parts)}|${list(pins)}|${put.join(',')}`;
  }

  #lightUp(linear: Linear, state: BoardState, opens: Opens): View {
    const touched = this.#touched(state, opens);
    const inCircuit = (junctions: readonly BoardJunction[]): BoardJunction[] =>
      junctions.filter(
        ({ part, anode, cathode, netA, netK }) =>
          netA !== netK && (!touched.has(part) || conducts(part, anode, cathode, state, opens)),
      );
    const { junctions: more = [] } = opens;
    const lit = withJunctions(linear.network, () => inCircuit(this.junctions).concat(more));
    return {
      network: linear.network,
      elementOf: linear.elementOf,
      get touching() {
        return linear.touching;
      },
      get junctions() {
        return lit.junctions;
      },
      junctionsFrom: (net) =>
        inCircuit(this.#junctionsFrom(net)).concat(more.filter(({ netA }) => netA === net)),
      lit: () => lit.lit(),
    };
  }

  /** @param gone elements, ascending */
  #build(gone: readonly number[], links: readonly (readonly [number, number])[]): Linear {
    const { branches: all, elementOf: own } = this.#whole;
    const branches: Branch[] = [];
    const elementOf = new Int32Array(all.length + links.length);
    let from = 0;
    const takeTo = (end: number): void => {
      elementOf.set(own.subarray(from, end), branches.length);
      for (let k = from; k < end; k++) branches.push(all[k] as Branch);
    };
    for (const element of gone) {
      const at = firstFrom(own, element);
      if (own[at] !== element) continue; // both its ends are on one net
      takeTo(at);
      from = at + 1;
    }
    takeTo(all.length);
    for (const [a, b] of links) {
      elementOf[branches.length] = -1;
      branches.push({ a, b, ohms: LINK_OHMS });
    }
    let touching: number[][] | undefined;
    const { nets } = this.board;
    return {
      network: this.#networkOf(branches),
      elementOf: elementOf.subarray(0, branches.length),
      get touching() {
        touching ??= touchingOf(nets.length, branches);
        return touching;
      },
    };
  }

  /** Those of a large board are eliminated in the order of the first: they differ in a few branches. */
  #networkOf(branches: readonly Branch[]): Network {
    const count = this.board.nets.length;
    const network = new Network(count, branches, this.#likely);
    if (count >= LARGE_NETWORK) this.#likely ??= network;
    return network;
  }
}

/** The branches of a board with nothing gone, and the element behind each, ascending. */
interface Whole {
  readonly branches: readonly Branch[];
  readonly elementOf: Int32Array;
}

function wholeOf(elements: readonly BoardElement[]): Whole {
  const branches: Branch[] = [];
  const elementOf = new Int32Array(elements.length);
  for (let k = 0; k < elements.length; k++) {
    const { netA, netB, ohms } = elements[k] as BoardElement;
    if (netA === netB) continue;
    elementOf[branches.length] = k;
    branches.push({ a: netA, b: netB, ohms });
  }
  return { branches, elementOf: elementOf.subarray(0, branches.length) };
}

/** Place of the first of some ascending numbers that is not below another. */
function firstFrom(numbers: Int32Array, least: number): number {
  let [low, high] = [0, numbers.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((numbers[middle] as number) < least) low = middle + 1;
    else high = middle;
  }
  return low;
}

function touchingOf(count: number, branches: readonly Branch[]): number[][] {
  const touching: number[][] = Array.from({ length: count }, () => []);
  branches.forEach(({ a, b }, k) => {
    touching[a]?.push(k);
    touching[b]?.push(k);
  });
  return touching;
}

/** A wire or solder link nobody listed. */
export const LINK_OHMS = 0.02;

/** A stated tolerance is the end of a flat range. */
const TOLERANCE_DEVIATION = 1 / Math.sqrt(3);

/** Defaults: 5 % for what carries a value, a quarter for windings and links, whose ohms few state. */
function spreadOf({ toleranceRatio, kind }: Part): number {
  return (
    (toleranceRatio ?? (kind.value === 'ohms' && !kind.link ? 0.05 : 0.25)) * TOLERANCE_DEVIATION
  );
}

function keep<T>(held: Map<string, T>, key: string, value: T, most: number): void {
  if (held.size >= most) {
    const oldest = held.keys().next().value;
    if (oldest !== undefined) held.delete(oldest);
  }
  held.set(key, value);
}

function conducts(
  part: number,
  pinA: number,
  pinB: number,
  state: BoardState,
  opens: Opens,
): boolean {
  return (
    !state.off.has(part) &&
    !opens.parts.has(part) &&
    !state.lifted.has(pinA) &&
    !state.lifted.has(pinB) &&
    !opens.pins.has(pinA) &&
    !opens.pins.has(pinB)
  );
}

export function netOf(board: Board, pin: number): number {
  return board.pins[pin]?.net ?? -1;
}
