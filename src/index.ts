/**
 * The library's face: everything the command does can be done from code.
 *
 * @packageDocumentation
 */
export type { Diagnostic, Place } from './board/diagnostic.ts';
export { InputError } from './board/diagnostic.ts';
export type {
  Board,
  ElementSpec,
  Kind,
  ModeSpec,
  Net,
  Part,
  Pin,
  Rail,
  Winding,
} from './board/model.ts';
export type { MeterMode, Point, Probe, Reading, ReadingValue } from './circuit/reading.ts';
export type { BoardState } from './circuit/state.ts';
export { AS_FOUND } from './circuit/state.ts';
export type {
  Cleared,
  Diagnosis,
  DoubtfulReading,
  FaultName,
  FaultSet,
  Suspect,
} from './faults/diagnosis.ts';
export type { Evidence, Look, LookFinding, TakenReading } from './faults/evidence.ts';
export type { Say } from './job/say.ts';
export type { Advice, Outcome, Step } from './steps/step.ts';
