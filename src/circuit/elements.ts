import type { Board, Part } from '../board/model.ts';
import { failedModes, type KnownPart } from './failed-modes.ts';
import { moreModes } from './more-modes.ts';
import { findIslands } from './network.ts';
import { partJunctions } from './part-junctions.ts';
import {
  LEAST_OHMS,
  type MoreMode,
  type PartMode,
  type PartModel,
  type PinJunction,
  type PinResistance,
} from './part-model.ts';
import { type PinNames, PinRoles } from './pin-roles.ts';

export type {
  MoreMode,
  PartMode,
  PartModel,
  PinJunction,
  PinResistance,
} from './part-model.ts';

/** Grounds joined by less, Ω, are one ground to an IC: a link, a bead, a few turns of a choke. */
const ONE_GROUND_OHMS = 10;

/**
 * Works out every part of a board. Modes that no meter could show on this board (pins on one net,
 * opens of a part that conducts nothing) are left out.
 */
export function partModels(board: Board): PartModel[] {
  const names = board.parts.map((part) => namesOf(board, part));
  const healthy = board.parts.map((part, k) => healthyResistances(part, names[k] as PinNames));
  const roles = new PinRoles(board, nearlyOneNet(board, healthy.flat()));
  return board.parts.map((part, k): PartModel => {
    const pinNamed = names[k] as PinNames;
    return new Model({ board, part, pinNamed, roles, healthy: healthy[k] as PinResistance[] });
  });
}

/** A large board has tens of thousands, and a first step asks for the modes of all but for little else. */
class Model implements PartModel {
  readonly part: number;
  readonly healthy: readonly PinResistance[];
  readonly modes: readonly PartMode[];
  readonly #board: Board;
  readonly #roles: PinRoles;
  #junctions: readonly PinJunction[] | undefined;
  #more: readonly MoreMode[] | undefined;

  constructor(known: KnownPart) {
    this.part = known.part.index;
    this.healthy = known.healthy;
    this.modes = failedModes(known);
    this.#board = known.board;
    this.#roles = known.roles;
  }

  get junctions(): readonly PinJunction[] {
    this.#junctions ??= this.#findJunctions();
    return this.#junctions;
  }

  get moreModes(): readonly MoreMode[] {
    this.#more ??= moreModes({ ...this.#known, junctions: this.junctions });
    return this.#more;
  }

  #findJunctions(): readonly PinJunction[] {
    const { board, part, pinNamed, roles } = this.#known;
    return partJunctions(board, part, part.kind.healthy, pinNamed, roles);
  }

  get #known(): KnownPart {
    const part = this.#board.parts[this.part] as Part;
    const pinNamed = namesOf(this.#board, part);
    return { board: this.#board, part, pinNamed, roles: this.#roles, healthy: this.healthy };
  }
}

function namesOf(board: Board, part: Part): PinNames {
  if (part.pins.length <= FEW_PINS) return new FewNames(board, part.pins);
  return new Map(part.pins.map((pin) => [board.pins[pin]?.name ?? '', pin]));
}

/** Up to so many pins are gone through as fast as they are looked up, and most parts have two. */
const FEW_PINS = 4;

class FewNames implements PinNames {
  readonly #board: Board;
  readonly #pins: readonly number[];

  constructor(board: Board, pins: readonly number[]) {
    this.#board = board;
    this.#pins = pins;
  }

  get(name: string): number | undefined {
    return this.#pins.findLast((pin) => this.#board.pins[pin]?.name === name);
  }
}

function healthyResistances(part: Part, pinNamed: PinNames): PinResistance[] {
  const found: PinResistance[] = [];
  for (const spec of part.kind.healthy) {
    if (spec.element !== 'resistance') continue;
    const a = pinNamed.get(spec.between[0]);
    const b = pinNamed.get(spec.between[1]);
    const ohms = spec.ohms === 'value' ? (part.ohms ?? part.kind.typicalOhms) : spec.ohms;
    if (a === undefined || b === undefined || ohms === undefined) continue;
    found.push({ a, b, ohms: Math.max(ohms * (spec.ratio ?? 1), LEAST_OHMS) });
  }
  for (const winding of part.windings) {
    const [a, b] = winding.pins;
    found.push({ a, b, ohms: Math.max(winding.ohms, LEAST_OHMS) });
  }
  return found;
}

/** By net: the same number for nets that hang together through hardly any resistance. */
function nearlyOneNet(board: Board, healthy: readonly PinResistance[]): Int32Array {
  const near = healthy
    .filter(({ ohms }) => ohms <= ONE_GROUND_OHMS)
    .map(({ a, b, ohms }) => ({ a: netAt(board, a), b: netAt(board, b), ohms }));
  return findIslands(board.nets.length, near).island;
}

function netAt(board: Board, pin: number): number {
  return board.pins[pin]?.net ?? -1;
}
