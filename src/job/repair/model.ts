/** What has to be renewed on a board, and what else has to be put right; parts by their numbers. */
import type { LookFinding } from '../../faults/evidence.ts';
import type { Isolation } from '../bench-log.ts';
import type { JobPurpose } from '../event-line.ts';
import type { Ticks } from './ticks.ts';

/** What a part does for the transistor beside it that failed. */
export type NeighbourRole =
  | 'gate resistor'
  | 'gate clamp'
  | 'gate pull resistor'
  | 'turn-off diode'
  | 'driver'
  | 'driver transistor'
  | 'current-sense resistor';

/** Why a part is on the list. `of` and `with` name the parts that brought it there. */
export type Reason =
  /** The readings say so; `modes` heaviest first. */
  | { readonly why: 'failed'; readonly weight: number; readonly modes: readonly string[] }
  /** An eye found it. */
  | { readonly why: 'seen'; readonly finding: LookFinding; readonly event: number }
  | { readonly why: 'same bank'; readonly bank: string; readonly with: readonly number[] }
  | { readonly why: 'in parallel'; readonly with: readonly number[] }
  | { readonly why: 'neighbour'; readonly role: NeighbourRole; readonly of: readonly number[] }
  /** What feeds the short ran through it. */
  | { readonly why: 'in line'; readonly of: readonly number[] }
  | { readonly why: 'refurbishment'; readonly because: 'dries out' | 'fails first' }
  /** Replaced, and nothing in the record says why. */
  | { readonly why: 'replaced' };

/** `sure`: to be renewed. `in case`: only suspected, or to be tested; worth having at hand. */
export type Need = 'sure' | 'in case';

/** One part on the list. */
export interface RepairItem {
  readonly part: number;
  readonly need: Need;
  /** A refurbishment renews it for its age; nothing else asks for it. */
  readonly isDue: boolean;
  /** Weightiest first; never empty. */
  readonly reasons: readonly Reason[];
  /** 0–1: chance that the piece now in place, or lying beside the board, has failed. */
  readonly weight: number;
  /** Parts no reading so far tells it apart from, itself included; one of them is at fault. */
  readonly alike: readonly number[];
  readonly isOff: boolean;
  /** Event that fitted the new piece, when that is done. */
  readonly doneAt?: number;
  readonly ticks: Ticks;
  /** Its tab read against the heatsink, when that was done for this piece. */
  readonly isolation?: Isolation;
}

/** One part that goes back as it is. */
export interface BackItem {
  readonly part: number;
  readonly ticks: Ticks;
  readonly isolation?: Isolation;
}

/** A joint, a bridge, broken copper, a part to be turned: to be put right without a new part. */
export interface MendItem {
  readonly what: 'joint' | 'bridge' | 'copper' | 'turned';
  /** Part that sits the wrong way round. */
  readonly part?: number;
  readonly pin?: number;
  readonly nets?: readonly [number, number];
  readonly weight: number;
  /** Event of a look that found it. */
  readonly seenAt?: number;
}

export interface RepairList {
  readonly purpose: JobPurpose;
  /** Every part at most once. */
  readonly items: readonly RepairItem[];
  /** Off the board and not at fault: they go back as they are. */
  readonly goesBack: readonly BackItem[];
  /** Legs in the air on parts that stay. */
  readonly lifted: readonly number[];
  readonly mend: readonly MendItem[];
}
