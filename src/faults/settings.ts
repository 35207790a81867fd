import type { Learnt } from './learnt.ts';

/** What the reasoning assumes where a board, a shop or the record says nothing. All are defaults. */
export interface FaultSettings {
  /** Faults a meter could show that a board on the bench carries, on average. */
  readonly expectedFaults: number;
  /** Chance that one reading is a slip: wrong point, no contact, misread. Half of the slips still tell the truth. */
  readonly slipRatio: number;
  /** Chance that a reading is wrong however often it is repeated at the same two points. */
  readonly stubbornRatio: number;
  /** The search stops when at most this share of the weight may be left out. */
  readonly leftOutRatio: number;
  /** Most nodes the search expands: work units, so that results do not depend on the machine. */
  readonly searchBudget: number;
  /** It also stops when this much work has found nothing that adds to the weight. */
  readonly idleBudget: number;
  /** A new or refitted-from-new piece fails this many times less often than the one found. */
  readonly newPieceRatio: number;
  /** Chance that a part which fits both ways sits the wrong way round: a new one, and one found so. */
  readonly turnedNewChance: number;
  readonly turnedFoundChance: number;
  /** Chance that a pair of nets that reads joined is joined by something the board file lacks. */
  readonly linkChance: number;
  /** Chance that the copper of a net is broken between two points read on it. */
  readonly copperChance: number;
  /** Share of a bank's failures that take several of its parts. */
  readonly bankShare: number;
  /** Chance of each part of a bank in such a failure. */
  readonly bankMemberChance: number;
  /** Most a part may be doubted before any reading. */
  readonly mostChance: number;
  /** How many times likelier a part fails that sits on a heatsink, that the shop knows to fail first. */
  readonly heatsinkFactor: number;
  readonly failsFirstFactor: number;
  /** Fuses open because something else shorted: times likelier than their own rate. */
  readonly fuseFactor: number;
  /** Failures of one joint per 10⁹ h. */
  readonly jointFit: number;
  /** What past boards taught; absent: nothing. */
  readonly learnt?: Learnt;
}

/** What the weighing assumes where a shop says nothing else. */
export const DEFAULT_FAULT_SETTINGS: FaultSettings = {
  expectedFaults: 1.2,
  slipRatio: 0.02,
  stubbornRatio: 3e-4,
  leftOutRatio: 0.02,
  searchBudget: 500,
  idleBudget: 60,
  newPieceRatio: 0.02,
  turnedNewChance: 0.005,
  turnedFoundChance: 1e-4,
  linkChance: 5e-4,
  copperChance: 2e-4,
  bankShare: 0.3,
  bankMemberChance: 0.5,
  mostChance: 0.2,
  heatsinkFactor: 2,
  failsFirstFactor: 4,
  fuseFactor: 8,
  jointFit: 0.3,
};
