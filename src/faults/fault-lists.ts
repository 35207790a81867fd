import type { Board, Part } from '../board/model.ts';
import type { Fault } from './fault.ts';

/**
 * How the faults of a board are numbered: the modes of every part as it came in, part by part; the joint
 * of every pin; then what has come up since, which another listing may number otherwise. A mode merged
 * into another's fault leaves its own number empty.
 */
export interface Numbering {
  /** By part, and one more: number of its first mode. */
  readonly firstOf: Int32Array;
  /** Number of the joint of pin 0. */
  readonly joints: number;
  /** Numbers from this one on hold for one listing only. */
  readonly lasting: number;
}

/** Numbers of faults by part and by pin, told from the numbering. */
export class FaultLists {
  readonly #board: Board;
  readonly #faults: readonly Fault[];
  readonly #numbering: Numbering;
  /** By number of a mode: that of the fault it belongs to. */
  readonly #leader: Int32Array;
  readonly #later: ReadonlyMap<number, readonly number[]>;
  readonly #laterJoints: ReadonlyMap<number, readonly number[]>;

  /**
   * @param later by part: faults of its modes that came up since
   * @param laterJoints by pin: its joint faults that came up since
   */
  constructor(
    board: Board,
    faults: readonly Fault[],
    numbering: Numbering,
    leader: Int32Array,
    later: ReadonlyMap<number, readonly number[]> = NOTHING,
    laterJoints: ReadonlyMap<number, readonly number[]> = NOTHING,
  ) {
    this.#board = board;
    this.#faults = faults;
    this.#numbering = numbering;
    this.#leader = leader;
    this.#later = later;
    this.#laterJoints = laterJoints;
  }

  /** All faults that may mean a part. */
  ofPart(part: number): readonly number[] {
    const { firstOf } = this.#numbering;
    const [from, to] = [firstOf[part] ?? 0, firstOf[part + 1] ?? 0];
    const modes = [...this.#leader.subarray(from, to)].sort((x, y) => x - y);
    const { pins } = (this.#board.parts[part] ?? NO_PINS) as Pick<Part, 'pins'>;
    return [
      ...modes,
      ...(this.#later.get(part) ?? []),
      ...pins.flatMap((pin) => this.jointsOf(pin)),
    ];
  }

  /** The faults that open a part. */
  opensOf(part: number): readonly number[] {
    const { firstOf } = this.#numbering;
    const found: number[] = [];
    const end = firstOf[part + 1] ?? 0;
    for (let id = firstOf[part] ?? 0; id < end; id++) {
      if (this.#faults[id]?.opensPart === true) found.push(id); // such a mode is never merged
    }
    for (const id of this.#later.get(part) ?? []) {
      if (this.#faults[id]?.opensPart === true) found.push(id);
    }
    return found;
  }

  /** The joint faults of a pin, one for as found and one for each time it was reflowed. */
  jointsOf(pin: number): readonly number[] {
    const id = this.#numbering.joints + pin;
    const later = this.#laterJoints.get(pin);
    return later === undefined ? [id] : [id, ...later];
  }
}

const NOTHING: ReadonlyMap<number, readonly number[]> = new Map();
const NO_PINS: Pick<Part, 'pins'> = { pins: [] };
