/** What the readings leave standing. Weights are probabilities, 0–1. */

/** One failed thing of a fault set, as a person would name it. */
export interface FaultName {
  /** `part`: a part in a failed mode; `joint`: an open joint; `bridge`: two nets joined by solder, dirt or carbon; `link`: a connection the board file lacks; `copper`: a net broken inside. */
  readonly what: 'part' | 'joint' | 'bridge' | 'link' | 'copper';
  /** The parts this could be: more than one when nothing read so far tells them apart. */
  readonly parts: readonly number[];
  /** Failed mode, e.g. `short`; for a joint `open`. */
  readonly mode: string;
  /** Pin of an open joint. */
  readonly pin?: number;
  /** Nets joined by a bridge or link, or the net of broken copper (twice). */
  readonly nets?: readonly [number, number];
}

export interface FaultSet {
  readonly faults: readonly FaultName[];
  readonly weight: number;
  /** Ids of readings that would be wrong if this set is true. */
  readonly wrongReadings: readonly number[];
}

export interface Suspect {
  readonly part: number;
  /** Chance that the piece now in this place (or lying beside the board) has failed in some mode. */
  readonly weight: number;
  /** The same by mode, heaviest first; `joint open` among them. */
  readonly modes: readonly { readonly mode: string; readonly weight: number }[];
  /** Parts nothing tells it apart from, itself included, when it stands in such a class. */
  readonly alike: readonly number[];
}

export interface Cleared {
  readonly part: number;
  /** Ids of the readings that showed it healthy. */
  readonly by: readonly number[];
  readonly weight: number;
}

/** A reading that is probably wrong; heaviest first. Ask for it again. */
export interface DoubtfulReading {
  readonly id: number;
  readonly weight: number;
}

/** Readings that would all be wrong together, with the weight of that. */
export interface WrongSet {
  readonly readings: readonly number[];
  readonly weight: number;
}

export interface Diagnosis {
  readonly sets: readonly FaultSet[];
  readonly suspects: readonly Suspect[];
  readonly cleared: readonly Cleared[];
  readonly doubtful: readonly DoubtfulReading[];
  /** Where the readings do not agree: the smallest sets of them that may be wrong, heaviest first. */
  readonly wrongSets: readonly WrongSet[];
  /** True when the readings cannot all be right together, or only with a fault nobody listed. */
  readonly contradictory: boolean;
  /** Connections the board file may lack, with their weight. */
  readonly missingLinks: readonly {
    readonly nets: readonly [number, number];
    readonly weight: number;
  }[];
  /** Upper bound on the weight of all fault sets that were not looked at. */
  readonly leftOut: number;
  /** Chance that something still on the board has failed in a way a meter can show. */
  readonly faultWeight: number;
  /** Search effort, for benchmarks. */
  readonly expanded: number;
}
