import type { Analysis } from './advise.ts';
import { type Candidate, Candidates } from './candidates.ts';
import { Forecaster } from './outlook.ts';
import { type Scored, scoreAll } from './score.ts';
import { SearchMinutes } from './search-minutes.ts';

/** Everything needed to weigh steps under one analysis. */
export class Foresight {
  readonly candidates: Candidates;
  readonly forecaster: Forecaster;
  readonly #analysis: Analysis;
  readonly #toFind: SearchMinutes;

  constructor(analysis: Analysis) {
    const { beliefs, hypotheses, evidence, workbench, offers } = analysis;
    this.#analysis = analysis;
    const { clock, steps } = workbench;
    const { healthyPartMinutes } = steps;
    this.candidates = new Candidates(
      beliefs,
      hypotheses,
      evidence.state,
      clock,
      offers,
      healthyPartMinutes,
    );
    this.#toFind = new SearchMinutes(hypotheses, this.candidates, clock);
    this.forecaster = new Forecaster(beliefs, hypotheses, this.#toFind);
  }

  /** Steps that tell something, those that lead to the fewest minutes first. */
  score(candidates: readonly Candidate[]): Scored[] {
    return scoreAll(candidates, this.#analysis.hypotheses, this.forecaster);
  }

  /** Minutes until the culprit is found, trying one repair after the other. */
  get plainMinutes(): number {
    return this.#toFind.minutes(this.#analysis.hypotheses, []);
  }
}
