import { InputError } from '../../board/diagnostic.ts';
import type { Board } from '../../board/model.ts';
import type { BoardState } from '../../circuit/state.ts';
import type { Evidence } from '../../faults/evidence.ts';
import { printReading } from '../../job/print-say.ts';
import { parseValue, startsValue } from '../../job/value.ts';
import type { TaskView } from '../../report/task-told.ts';
import type { Step } from '../../steps/step.ts';
import { type KeyChoice, keysFor, keysOfTask } from './keys.ts';

/** What holds on the bench when a line is typed. */
export type BenchNow = Pick<Evidence, 'state' | 'injection' | 'lastInjection'>;

/** Who answers: a person with a meter, or a simulated board. */
export interface Player {
  keys(step: Step): KeyChoice[];
  /** The keys of a task that is no step of the readings. */
  taskKeys(task: TaskView): KeyChoice[];
  /**
   * The lines to record for what was typed at a step.
   * @throws {InputError} when it cannot be read
   */
  linesFor(text: string, step: Step, now: BenchNow): string[];
  /** Does the step by itself; the lines to record. */
  act(step: Step, state: BoardState): string[];
}

/** A person with a meter: a bare value answers the probe asked for, anything else is a full line. */
export function personPlayer(board: Board): Player {
  return {
    keys: (step) => keysFor(board, step),
    taskKeys: keysOfTask,
    linesFor: (text, step) => [valueLine(board, text, step) ?? text],
    act: () => [],
  };
}

/** `0.4`, `20 Mohm`, typed at a task that asks for a value, as the whole line; else the text itself. */
export function taskLine(task: TaskView, text: string): string {
  const [first = ''] = text.split(/\s+/);
  const isValue = task.value !== undefined && (isFigure(first) || startsValue(first));
  return isValue ? `${task.value} ${text}` : text;
}

/** `0.4`, `0.4 ohm` or `OL`, typed at a reading, as the whole line; undefined when it is none. */
export function valueLine(board: Board, text: string, step: Step): string | undefined {
  if (step.kind !== 'read') return undefined;
  const { probe } = step;
  // A beeper shows no figure; one typed there was read in ohms.
  const assumed = probe.mode === 'continuity' ? 'ohms' : probe.mode;
  try {
    return printReading(board, { ...probe, ...parseValue(text, assumed) });
  } catch (error) {
    const [first = ''] = text.split(/\s+/);
    if (error instanceof InputError && !(startsValue(first) && isFigure(first))) return undefined;
    throw error;
  }
}

function isFigure(word: string): boolean {
  return /^[+-.\d]/.test(word);
}
