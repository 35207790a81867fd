/** How far a long piece of work has come. */
export interface Progress {
  /** Work units done, and the most that will be. */
  readonly work: number;
  readonly mostWork: number;
  /** Bound on the share of the weight that is not looked at yet, 0–1. */
  readonly leftOut: number;
}

/**
 * Work done in slices of a few work units: it gives its progress after each and, told true, ends with
 * the best answer so far. Where it pauses depends on the work alone, so one that is not stopped gives
 * the same answer at any pace.
 */
export type Sliced<T> = Generator<Progress, T, boolean>;

/** Does all of it at once. */
export function allOf<T>(work: Sliced<T>): T {
  for (;;) {
    const step = work.next(false);
    if (step.done === true) return step.value;
  }
}
