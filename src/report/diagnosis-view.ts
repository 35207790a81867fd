import type { Board } from '../board/model.ts';
import type { Diagnosis, FaultName, FaultSet } from '../faults/diagnosis.ts';
import type { Evidence, TakenReading } from '../faults/evidence.ts';
import { printValue } from '../job/value.ts';
import { faultText, netName, partName, partNames, pinName, probeText } from './names.ts';

/** What the readings leave standing, in names: what is shown, and what `--json` prints. */
export interface DiagnosisView {
  readonly sets: readonly FaultSetView[];
  readonly suspects: readonly SuspectView[];
  readonly cleared: readonly ClearedView[];
  readonly doubtful: readonly DoubtfulView[];
  /** Smallest sets of reading numbers that may be wrong, heaviest first; empty where all agree. */
  readonly wrongSets: readonly { readonly readings: readonly number[]; readonly weight: number }[];
  readonly contradictory: boolean;
  readonly missingLinks: readonly { readonly nets: readonly string[]; readonly weight: number }[];
  /** At most this much weight lies in fault sets that were not looked at. */
  readonly leftOut: number;
  /** Chance that something on the board has failed in a way a meter can show. */
  readonly faultWeight: number;
}

export interface FaultSetView {
  readonly text: string;
  readonly faults: readonly FaultView[];
  readonly weight: number;
  /** Numbers of the readings that would be wrong if this set is true. */
  readonly wrongReadings: readonly number[];
}

export interface FaultView {
  readonly what: FaultName['what'];
  readonly parts: readonly string[];
  readonly mode: string;
  readonly pin?: string;
  readonly nets?: readonly string[];
}

export interface SuspectView {
  readonly part: string;
  readonly kind: string;
  readonly weight: number;
  readonly modes: readonly { readonly mode: string; readonly weight: number }[];
  readonly alike: readonly string[];
}

export interface ClearedView {
  readonly part: string;
  /** Numbers of the readings that showed it. */
  readonly by: readonly number[];
  readonly weight: number;
}

export interface DoubtfulView {
  readonly id: number;
  /** What was read: `P48 to GND (beeper): beep`. */
  readonly text: string;
  readonly weight: number;
}

/** Puts names in place of the board numbers of a diagnosis. */
export function viewDiagnosis(
  board: Board,
  evidence: Evidence,
  diagnosis: Diagnosis,
): DiagnosisView {
  return {
    sets: diagnosis.sets.map((set) => viewSet(board, set)),
    suspects: diagnosis.suspects.map((suspect) => ({
      part: partName(board, suspect.part),
      kind: board.parts[suspect.part]?.kind.title ?? '',
      weight: suspect.weight,
      modes: suspect.modes,
      alike: partNames(board, suspect.alike),
    })),
    cleared: diagnosis.cleared.map(({ part, by, weight }) => ({
      part: partName(board, part),
      by,
      weight,
    })),
    doubtful: diagnosis.doubtful.map(({ id, weight }) => ({
      id,
      text: readingText(board, evidence, id),
      weight,
    })),
    wrongSets: diagnosis.wrongSets,
    contradictory: diagnosis.contradictory,
    missingLinks: diagnosis.missingLinks.map(({ nets, weight }) => ({
      nets: nets.map((net) => netName(board, net)),
      weight,
    })),
    leftOut: diagnosis.leftOut,
    faultWeight: diagnosis.faultWeight,
  };
}

/** `P48 to GND (beeper): beep`, for the reading with the given number. */
export function readingText(board: Board, evidence: Evidence, id: number): string {
  const reading = evidence.readings.find((each) => each.id === id);
  return reading === undefined ? `reading ${id}` : takenText(board, reading);
}

export function takenText(board: Board, reading: TakenReading): string {
  return `${probeText(board, reading)}: ${printValue(reading)}`;
}

export function viewSet(board: Board, set: FaultSet): FaultSetView {
  const texts = set.faults.map((fault) => faultText(board, fault));
  return {
    text: texts.length === 0 ? 'nothing has failed' : texts.join(' + '),
    faults: set.faults.map((fault) => viewFault(board, fault)),
    weight: set.weight,
    wrongReadings: set.wrongReadings,
  };
}

function viewFault(board: Board, fault: FaultName): FaultView {
  return {
    what: fault.what,
    parts: partNames(board, fault.parts),
    mode: fault.mode,
    ...(fault.pin === undefined ? {} : { pin: pinName(board, fault.pin) }),
    ...(fault.nets === undefined ? {} : { nets: fault.nets.map((net) => netName(board, net)) }),
  };
}
