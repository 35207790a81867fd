import type { Injection, Reading } from '../circuit/reading.ts';
import { AS_FOUND, type BoardState } from '../circuit/state.ts';

/** A reading with the state of the board it was taken under. */
export interface TakenReading extends Reading {
  /** Number of the event in the job record; names the reading to the person. */
  readonly id: number;
  readonly state: BoardState;
}

export type LookFinding =
  | 'burnt'
  | 'cracked'
  | 'leaking'
  | 'reworked'
  | 'dirty'
  | 'missing'
  | 'wrong part'
  /** A leg that no longer touches its pad (pin findings) . */
  | 'off its pad'
  /** Of a part, while a current was injected. */
  | 'warm'
  | 'looks sound';

/** What an eye found: on a part, on one of its pins, or between two nets. */
export interface Look {
  readonly id: number;
  readonly part?: number;
  readonly pin?: number;
  /** Set when the look was at the copper between two nets (finding `looks sound`). */
  readonly nets?: readonly [number, number];
  readonly finding: LookFinding;
  /** The current that was on, or had just been, when a part was found warm. */
  readonly injected?: Injection;
  readonly state: BoardState;
}

/** Everything known about the board, in the order it was learnt. */
export interface Evidence {
  readonly readings: readonly TakenReading[];
  readonly looks: readonly Look[];
  /** The board as it is now. */
  readonly state: BoardState;
  /** Id of the last event that changed the board; 0 when none did. */
  readonly lastChange: number;
  /** By part: id of the event that last replaced it. */
  readonly replacedAt: ReadonlyMap<number, number>;
  /** The current that is on now; absent when none is. */
  readonly injection?: Injection;
  /** The current that was on last, whether it still is or not. */
  readonly lastInjection?: Injection;
  /** Steps not to be taken now, by `stepKey`, with the reason; until the board changes. */
  readonly passed?: ReadonlyMap<string, string>;
  /** Where probes cannot be put; absent when nothing was said of it. */
  readonly unreachable?: Unreachable;
}

/** What probes cannot reach. */
export interface Unreachable {
  /** Pins whose pads nobody gets at. */
  readonly pins: ReadonlySet<number>;
  /** Nets of which that was said as a whole: also of places that are no pin. */
  readonly nets: ReadonlySet<number>;
}

export const NO_EVIDENCE: Evidence = {
  readings: [],
  looks: [],
  state: AS_FOUND,
  lastChange: 0,
  replacedAt: new Map(),
};
