import type { Branch } from '../circuit/network.ts';
import type { PinJunction } from '../circuit/part-model.ts';
import type { BoardState } from '../circuit/state.ts';
import { netPairKey } from '../circuit/state.ts';

/** A branch that a fault adds, with the pins it hangs on (−1: copper, no pin). */
export interface FaultBranch extends Branch {
  readonly pinA: number;
  readonly pinB: number;
}

/** A part that a fault variable may stand for. */
export interface Member {
  readonly part: number;
  /** Chance that this one has failed so: on its own, and given a failure of several of its bank. */
  readonly chance: readonly [number, number];
}

/**
 * One yes-or-no question about the board: “has this failed, in this way?”. Parts that no reading
 * so far can tell apart share one fault: “has at least one of these failed so?”.
 */
export interface Fault {
  readonly id: number;
  readonly what: 'part' | 'joint' | 'bridge' | 'link' | 'copper';
  readonly mode: string;
  readonly members: readonly Member[];
  /** Which piece in the part's place is meant; for joints, bridges, copper: after how many repairs. */
  readonly piece: number;
  readonly branches: readonly FaultBranch[];
  /** Standard deviation of ln Ω of the branches. */
  readonly spread: number;
  /** The part stops conducting. */
  readonly opensPart: boolean;
  /** Junctions that it has, or has besides, when failed so; absent: a fault that resistances tell whole. */
  readonly junctions?: readonly PinJunction[];
  /** Pin of an open joint, else −1. */
  readonly pin: number;
  /** Nets of a bridge or link, net of broken copper (twice). */
  readonly nets?: readonly [number, number];
  /** Chance given no, and given a, failure of several parts of the bank. */
  readonly chance: readonly [number, number];
  /** Faults of one group exclude each other: modes of one piece. */
  readonly group: number;
  /** Bank of the part, else −1. */
  readonly bank: number;
}

/** True when the piece the fault speaks of is the one in place, on the board or not. */
export function concernsPresentPiece(fault: Fault, state: BoardState): boolean {
  switch (fault.what) {
    case 'part':
      return (state.piece.get(fault.members[0]?.part ?? -1) ?? 0) === fault.piece;
    case 'joint':
      return (state.reflowed.get(fault.pin) ?? 0) === fault.piece;
    case 'bridge':
    case 'link':
      return (
        fault.nets !== undefined &&
        (state.cleaned.get(netPairKey(...fault.nets)) ?? 0) === fault.piece
      );
    case 'copper':
      return (state.mended.get(fault.nets?.[0] ?? -1) ?? 0) === fault.piece;
  }
}

/** True when no pin that a branch hangs on is lifted. */
export function isInCircuit({ pinA, pinB }: FaultBranch, { lifted }: BoardState): boolean {
  return !lifted.has(pinA) && !lifted.has(pinB);
}

/** True when the fault, if it is there, has a part in the circuit a meter sees from the pads. */
export function actsOn(fault: Fault, state: BoardState): boolean {
  if (!concernsPresentPiece(fault, state)) return false;
  if (fault.what === 'part') {
    const part = fault.members[0]?.part ?? -1;
    if (state.off.has(part)) return false;
    if (fault.branches.length === 0) return fault.opensPart || fault.junctions !== undefined;
    return fault.branches.some((branch) => isInCircuit(branch, state));
  }
  if (fault.what === 'joint') {
    const part = fault.members[0]?.part ?? -1;
    return !state.off.has(part) && !state.lifted.has(fault.pin);
  }
  return true;
}
