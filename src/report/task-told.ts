/** What a task says, whatever its stage. */
import type { Task } from '../job/task.ts';

/**
 * One answer, given by one key: a figure where typed lines may begin with any letter. `say` is what
 * it records, ready to be recorded by a script.
 */
export interface TaskAnswer {
  /** One character, or `Enter`. */
  readonly key: string;
  readonly label: string;
  readonly say: readonly string[];
}

export interface TaskView {
  readonly kind: Exclude<Task['kind'], 'bench'>;
  /** What to do, one sentence or two. */
  readonly text: string;
  readonly why: string;
  /** What it is about, the most important first. */
  readonly list: readonly string[];
  readonly answers: readonly TaskAnswer[];
  /** The line that a value alone completes: `residual P48 GND`. */
  readonly value?: string;
  /** Lines that may be typed instead, as examples. */
  readonly lines: readonly string[];
  /** Where the meter's probes go, red first, where the task is a reading. */
  readonly points?: readonly string[];
  /** The parts it is about. */
  readonly parts?: readonly string[];
}

/** What one kind of task says; the rest is empty. */
export type Told = Partial<TaskView> & { readonly text: string };

export function answer(key: string, label: string, ...say: readonly string[]): TaskAnswer {
  return { key, label, say };
}
