import type { Board, Net } from '../board/model.ts';
import { type Branch, Network } from '../circuit/network.ts';
import type { Point } from '../circuit/reading.ts';
import { Random } from './random.ts';

/** Ω per square of 1 oz copper. */
const SHEET_OHMS = 0.5e-3;
/** Spread of ln width from one stretch to the next. */
const WIDTH_SPREAD = 0.6;
/** mm of copper between pads that touch, and the most between pads of which no place is known. */
const LEAST_WAY = 0.5;
const MOST_UNKNOWN_WAY = 30;
/** Nets with more pads than this are poured, where the board file does not tell. */
const MOST_TRACED = 40;
/** mm of width that trace, rail and pour come to, where the board file does not tell. */
const WIDTH = { trace: 0.3, rail: 1.5, pour: 6 } as const;
/** A pour joins each pad to so many others. */
const POUR_WAYS = 3;

/**
 * The copper a simulated board really has, drawn for a seed: pads in any order, each joined to what is
 * there already and near. A tree for traces, a mesh for pours. It is not the copper that the reasoning
 * assumes, and should not be.
 */
export class HiddenCopper {
  readonly #board: Board;
  readonly #stretches: readonly Branch[];

  constructor(board: Board, seed: number) {
    this.#board = board;
    const random = new Random(seed * 104_729 + 11);
    const rails = new Set(board.rails.flatMap(({ plus, minus }) => [plus, minus]));
    this.#stretches = board.nets.flatMap((net) => this.#draw(net, rails.has(net.index), random));
  }

  /** The board with its copper, a node for every pad. @param parts what joins pads, by pin numbers */
  withParts(parts: readonly Branch[]): Network {
    return new Network(this.#board.pins.length, [...this.#stretches, ...parts]);
  }

  /** Pad that a point means: of a net the first handy place. Undefined where a net has no pad. */
  padOf({ net, pin }: Point): number | undefined {
    if (pin !== undefined) return pin;
    const { points = [], pins = [] } = this.#board.nets[net] ?? {};
    const handy = points
      .map((name) => name.split('.')[0] ?? '')
      .flatMap((name) => this.#board.partNamed.get(name)?.pins ?? []);
    return handy.find((one) => pins.includes(one)) ?? pins[0];
  }

  #draw(net: Net, isRail: boolean, random: Random): Branch[] {
    const known = this.#board.copper?.nets.get(net.index);
    const isPour = known?.shape === 'plane' || (!known?.shape && net.pins.length > MOST_TRACED);
    const usual = isPour ? WIDTH.pour : isRail ? WIDTH.rail : WIDTH.trace;
    const ounces = known?.ounces ?? this.#board.copper?.ounces ?? 1;
    const sheet = SHEET_OHMS / ounces;
    const left = [...net.pins];
    const there: number[] = [];
    const stretches: Branch[] = [];
    while (left.length > 0) {
      const [pad] = left.splice(Math.floor(random.next() * left.length), 1) as [number];
      const ways = there
        .map((to) => ({ to, mm: this.#apart(pad, to, random) }))
        .sort((x, y) => x.mm - y.mm)
        .slice(0, isPour ? POUR_WAYS : 1);
      for (const { to, mm } of ways) {
        const width = (known?.width ?? usual) * Math.exp(WIDTH_SPREAD * random.normal());
        stretches.push({ a: pad, b: to, ohms: (sheet * mm) / width });
      }
      there.push(pad);
    }
    return stretches;
  }

  #apart(a: number, b: number, random: Random): number {
    const [from, to] = [this.#placeOf(a), this.#placeOf(b)];
    if (from === undefined || to === undefined) {
      return LEAST_WAY + (MOST_UNKNOWN_WAY - LEAST_WAY) * random.next();
    }
    return Math.max(LEAST_WAY, Math.hypot(from[0] - to[0], from[1] - to[1]));
  }

  #placeOf(pin: number): readonly [number, number] | undefined {
    const { at, part = -1 } = this.#board.pins[pin] ?? {};
    return at ?? this.#board.parts[part]?.at;
  }
}
