import type { Clock } from './bench-times.ts';
import type { Candidates } from './candidates.ts';
import type { Hypothesis } from './hypotheses.ts';

/** What finding out about one repair takes by taking its parts out of circuit. */
interface Trial {
  /** All that the repair may mean. */
  readonly parts: readonly number[];
  /** Minutes when it was not the culprit: out, a reading, and back again. */
  readonly wasted: number;
  /** Minutes beyond the repair when it was. */
  readonly ahead: number;
}

/** Something that may be called for, with its weight (any scale). */
interface Row {
  readonly key: string;
  readonly weight: number;
  readonly choiceEntropy: number;
}

const NO_TRIAL: Trial = { parts: [], wasted: 0, ahead: 0 };

/**
 * Minutes that finding the culprit would take with lifts alone, one repair after the other, those with
 * most weight for their minutes first: the order that is best where every trial tells of one repair only
 * (W. E. Smith, 1956). A step is worth what it takes off this.
 */
export class SearchMinutes {
  readonly #trials = new Map<string, Trial>();

  constructor(hypotheses: readonly Hypothesis[], candidates: Candidates, clock: Clock) {
    for (const { key, units } of hypotheses) {
      if (this.#trials.has(key)) continue;
      let trial = NO_TRIAL;
      for (const unit of units) {
        if (!unit.comesOff) {
          const minutes = unit.pin === undefined ? clock.look : clock.reflow;
          trial = { ...trial, wasted: trial.wasted + minutes };
          continue;
        }
        const parts = unit.choice ? unit.parts.slice(-1) : unit.parts;
        const { minutes, undoMinutes, aheadMinutes } = candidates.takingOut(parts);
        trial = {
          parts: [...trial.parts, ...unit.parts],
          wasted: trial.wasted + minutes + undoMinutes,
          ahead: trial.ahead + aheadMinutes,
        };
      }
      this.#trials.set(key, trial);
    }
  }

  /**
   * @param rows their weights need not sum to 1; the result is in the same proportion
   * @param removed parts that are out of circuit by then
   */
  minutes(rows: readonly Row[], removed: readonly number[]): number {
    const byKey = new Map<string, { weight: number; trial: Trial; among: number }>();
    for (const { key, weight, choiceEntropy } of rows) {
      const held = byKey.get(key);
      if (held !== undefined) held.weight += weight;
      else {
        const trial = this.#trials.get(key) ?? NO_TRIAL;
        const isOut = trial.parts.length > 0 && trial.parts.every((part) => removed.includes(part));
        byKey.set(key, { weight, trial: isOut ? NO_TRIAL : trial, among: Math.exp(choiceEntropy) });
      }
    }
    const queue = [...byKey.values()]
      .filter(({ weight }) => weight > 0)
      .sort((x, y) => x.trial.wasted * x.among * y.weight - y.trial.wasted * y.among * x.weight);
    let spent = 0;
    let sum = 0;
    queue.forEach(({ weight, trial, among }, k) => {
      const isLast = k === queue.length - 1;
      const within = ((among - 1) / 2) * trial.wasted;
      sum += weight * (spent + within + (isLast && among <= 1 ? 0 : trial.ahead));
      spent += among * trial.wasted;
    });
    return sum;
  }
}
