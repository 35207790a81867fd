import { type BenchTimes, DEFAULT_BENCH_TIMES } from './bench-times.ts';

/** How the shop works; all may be changed. */
export interface StepSettings {
  readonly times: BenchTimes;
  /** Parts of one bank are replaced together when any of them failed. */
  readonly replaceBanksAsSets: boolean;
  /**
   * Minutes that it counts for, beside the work, when a part comes off which turns out healthy: heat costs
   * pads, legs and the part. Wire links are made to be lifted and cost nothing.
   */
  readonly healthyPartMinutes: number;
  /** A repair starts without further readings once one repair carries this weight. */
  readonly sureWeight: number;
  /**
   * Above this weight a new part is fitted without a reading with the old one off; 1: never, as a board is
   * proven clear before fitting as well as after. A shop that says less loses a part and no minutes where it
   * was not the culprit, as the rail is read after it anyway.
   */
  readonly fitUnreadWeight: number;
  /** Nothing acting on the board is suspected any more below this weight. */
  readonly clearWeight: number;
  /**
   * Expected number of meter-visible shorts that may go unread on a board called clear. A board
   * already found faulty carries more of them than one fresh from the pile, so this is set below
   * the miss one would accept.
   */
  readonly proofRisk: number;
  /** A part off the board goes back in below this weight, and is replaced above it. */
  readonly replaceWeight: number;
  /** Parts so cheap that they go without a reading that would make sure; none by default. */
  readonly suspicion?: Suspicion;
}

/** What the shop replaces on suspicion. */
export interface Suspicion {
  readonly parts: ReadonlySet<number>;
  /** Weight from which such a part comes off. */
  readonly from: number;
}

/** How steps are chosen where a shop says nothing else. */
export const DEFAULT_STEP_SETTINGS: StepSettings = {
  times: DEFAULT_BENCH_TIMES,
  replaceBanksAsSets: true,
  healthyPartMinutes: 0,
  sureWeight: 0.9,
  fitUnreadWeight: 1,
  clearWeight: 0.04,
  proofRisk: 0.004,
  replaceWeight: 0.3,
};
