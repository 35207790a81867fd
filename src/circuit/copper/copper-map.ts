import type { Board } from '../../board/model.ts';
import type { Circuit } from '../circuit.ts';
import type { BoardState } from '../state.ts';
import type { Layout, Shape } from './layout.ts';
import { type Pad, padOf, padsOf } from './pads.ts';
import { planeLayout } from './plane.ts';
import { type CopperLink, CopperSide } from './side.ts';
import { spacedOut } from './spaced-out.ts';
import { TRACE_FAMILIES, tracesLayout } from './traces.ts';

/** A part of more than this is no link between the copper of two nets, Ω. */
const MOST_LINK_OHMS = 0.5;
/** Nets on one side at most, and pads: more says nothing of where on this rail a short is. */
const MOST_NETS = 8;
const MOST_PADS = 1500;
/** With fewer pads a net is taken for traces, whatever it is. */
const LEAST_PLANE_PADS = 4;
/** A plane is likelier the more pads a net has: even at so many. Default. */
const EVEN_PADS = 30;

/** Of alike ways so many are laid out at least; more where a net has few pads: this many over them. */
const LEAST_ALIKE = 6;
const ALIKE_PADS = 6000;

/** One side of a short, laid out in one way. */
export interface SideForm {
  readonly name: string;
  /** Under a state of the board. */
  under(state: BoardState): CopperSide;
}

/** Both sides, laid out in one way each, with the chance of it before any reading. */
export interface CopperForm {
  readonly first: SideForm;
  readonly second: SideForm;
  readonly chance: number;
  /** Set where this stands for any of many ways, with what they have in common; the first is its own. */
  readonly members?: readonly CopperForm[];
}

/** The copper on both sides of a short. */
export interface CopperPair {
  readonly nets: readonly [ReadonlySet<number>, ReadonlySet<number>];
  /** The ways it may be laid out, the plainest first. */
  readonly forms: readonly CopperForm[];
  /** Pins with a place on either side. */
  readonly pins: readonly [ReadonlySet<number>, ReadonlySet<number>];
}

/** The copper of a board, as far as positions tell it; made for the rails that are asked for. */
export class CopperMap {
  readonly #circuit: Circuit;
  readonly #links: readonly (CopperLink & { readonly nets: readonly [number, number] })[];
  readonly #pairs = new Map<string, CopperPair | undefined>();

  constructor(circuit: Circuit) {
    this.#circuit = circuit;
    this.#links = circuit.elements
      .filter(({ ohms, netA, netB }) => ohms <= MOST_LINK_OHMS && netA !== netB)
      .map(({ part, a, b, ohms, spread, netA, netB }) => {
        return { part, pinA: a, pinB: b, ohms, spread, nets: [netA, netB] as const };
      });
  }

  get board(): Board {
    return this.#circuit.board;
  }

  /**
   * The copper of two nets and of those behind their links; undefined where places are unknown, or
   * links join the two.
   * @param pins that readings were taken at
   */
  between(one: number, other: number, pins: readonly number[]): CopperPair | undefined {
    const plain = this.#known(one, other, []);
    if (plain === undefined) return undefined;
    // Most pads that are read matter anyway.
    const more = pins.filter((pin) => !plain.pins.some((known) => known.has(pin)));
    if (more.length === 0) return plain;
    return this.#known(
      one,
      other,
      [...new Set(more)].sort((x, y) => x - y),
    );
  }

  #known(one: number, other: number, pins: readonly number[]): CopperPair | undefined {
    const key = `${one} ${other} ${pins.join(',')}`;
    if (!this.#pairs.has(key)) this.#pairs.set(key, this.#make(one, other, pins));
    return this.#pairs.get(key);
  }

  /** The nets that low-ohm parts join with one, itself first; only those of at least two pads with places. */
  sideOf(net: number): Set<number> {
    const found = new Set([net]);
    for (const here of found) {
      for (const { nets } of this.#links) {
        if (!nets.includes(here) || found.size >= MOST_NETS) continue;
        for (const next of nets) if (padsOf(this.board, next).length >= 2) found.add(next);
      }
    }
    return found;
  }

  #make(one: number, other: number, pins: readonly number[]): CopperPair | undefined {
    const nets = [this.sideOf(one), this.sideOf(other)] as const;
    for (const net of nets[0]) if (nets[1].has(net)) return undefined;
    const sides = nets.map((own, k) => this.#pads(own, nets[1 - k] as Set<number>, pins));
    const [first = [], second = []] = sides;
    if (first.length < 2 || second.length < 2) return undefined;
    return {
      nets,
      forms: formsOf(this.#side(first), this.#side(second)),
      pins: [new Set(first.map(({ pin }) => pin)), new Set(second.map(({ pin }) => pin))],
    };
  }

  /** Pads that matter: of parts on both sides, of links, and those read. */
  #pads(own: ReadonlySet<number>, across: ReadonlySet<number>, pins: readonly number[]): Pad[] {
    const { board } = this;
    const isRead = new Set(pins);
    const linked = new Set(this.#links.flatMap(({ pinA, pinB }) => [pinA, pinB]));
    const found: Pad[] = [];
    for (const net of own) {
      for (const pad of padsOf(board, net)) {
        const part = board.parts[board.pins[pad.pin]?.part ?? -1];
        const isAcross = part?.pins.some((pin) => across.has(board.pins[pin]?.net ?? -1)) === true;
        const matters = isAcross || linked.has(pad.pin) || isRead.has(pad.pin);
        if (matters && (found.length < MOST_PADS || isRead.has(pad.pin))) found.push(pad);
      }
    }
    return found;
  }

  #side(pads: readonly Pad[]): SideShapes {
    const byNet = new Map<number, Pad[]>();
    for (const pad of pads) byNet.set(pad.net, [...(byNet.get(pad.net) ?? []), pad]);
    const nets = [...byNet];
    const links = this.#links.filter((link) => link.nets.every((net) => byNet.has(net)));
    const form = (shape: Shape, variant: number): SideForm => {
      const layouts = nets.map(([net, own]) => this.#layout(net, own, shape, variant));
      return { name: `${shape} ${variant}`, under: sidesOf(layouts, links) };
    };
    const largest = Math.max(...nets.map(([, own]) => own.length));
    // With a plane among them every way is a mesh, at many times the work.
    const isMesh = nets.some(([net, own]) => this.#isPlane(net, own, 'traces'));
    const most = isMesh ? LEAST_ALIKE : Math.max(LEAST_ALIKE, Math.round(ALIKE_PADS / largest));
    const ofTraces = ({ share, ways }: (typeof TRACE_FAMILIES)[number]): SideFamily => {
      return { share, ways: spacedOut(ways, most).map((variant) => form('traces', variant)) };
    };
    const isAll = (shape: Shape): boolean =>
      nets.every(([net, own]) => this.#isPlane(net, own, shape) === (shape === 'plane'));
    const facts = this.board.copper?.nets;
    const isSaid = nets.every(([net]) => facts?.get(net)?.shape !== undefined);
    const evenly = largest / (largest + EVEN_PADS);
    const plane = !isSaid ? evenly : isAll('plane') ? 1 : 0;
    return {
      plane,
      planes: plane > 0 ? [{ share: 1, ways: [form('plane', 0)] }] : [],
      traces: plane < 1 ? TRACE_FAMILIES.map(ofTraces) : [],
    };
  }

  #isPlane(net: number, pads: readonly Pad[], shape: Shape): boolean {
    return (
      (this.board.copper?.nets.get(net)?.shape ?? shape) === 'plane' &&
      pads.length >= LEAST_PLANE_PADS
    );
  }

  #layout(net: number, pads: readonly Pad[], shape: Shape, variant: number): Layout {
    const facts = this.board.copper?.nets.get(net);
    const ounces = facts?.ounces ?? this.board.copper?.ounces ?? 1;
    if (this.#isPlane(net, pads, shape)) return planeLayout(pads, ounces);
    const isReturn = this.board.rails.some(({ minus }) => minus === net);
    const width = facts?.width === undefined ? {} : { width: facts.width };
    return tracesLayout(pads, { ounces, isReturn, ...width }, variant);
  }
}

/** Whether a pin's place is known. */
export function hasPlace(board: Board, pin: number): boolean {
  return padOf(board, pin) !== undefined;
}

/** One side in every way it may be laid out. */
interface SideShapes {
  /** Chance of its being a plane. */
  readonly plane: number;
  readonly planes: readonly SideFamily[];
  readonly traces: readonly SideFamily[];
}

/** Ways that are much alike, and their share of the chance. */
interface SideFamily {
  readonly share: number;
  readonly ways: readonly SideForm[];
}

/** Both sides in ways of one family: each way of one with one of the other; one of a family stands for all. */
function formsOf(one: SideShapes, other: SideShapes): CopperForm[] {
  const pair = (
    firsts: readonly SideFamily[],
    seconds: readonly SideFamily[],
    chance: number,
  ): CopperForm[] => {
    if (chance === 0) return [];
    const families = firsts.length > seconds.length ? firsts : seconds;
    return families.map(({ share }, k): CopperForm => {
      const own = firsts[k % firsts.length]?.ways ?? [];
      const theirs = seconds[k % seconds.length]?.ways ?? [];
      const count = Math.max(own.length, theirs.length);
      const ways = Array.from({ length: count }, (_, n): CopperForm => {
        const first = own[n % own.length] as SideForm;
        return { first, second: theirs[n % theirs.length] as SideForm, chance: chance * share };
      });
      const [only] = ways as [CopperForm];
      return count === 1 ? only : { ...only, members: ways };
    });
  };
  return [
    ...pair(one.traces, other.traces, (1 - one.plane) * (1 - other.plane)),
    ...pair(one.traces, other.planes, (1 - one.plane) * other.plane),
    ...pair(one.planes, other.traces, one.plane * (1 - other.plane)),
    ...pair(one.planes, other.planes, one.plane * other.plane),
  ];
}

/** Each built once for the links that are on. */
function sidesOf(
  layouts: readonly Layout[],
  links: readonly CopperLink[],
): (state: BoardState) => CopperSide {
  const known = new Map<string, CopperSide>();
  return (state) => {
    const isOn = ({ part, pinA, pinB }: CopperLink): boolean =>
      !state.off.has(part) && !state.lifted.has(pinA) && !state.lifted.has(pinB);
    const key = links.map((link) => (isOn(link) ? '1' : '0')).join('');
    let side = known.get(key);
    if (side === undefined) {
      side = new CopperSide(layouts, links, isOn);
      known.set(key, side);
    }
    return side;
  };
}
