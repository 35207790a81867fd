import { TwoShorts } from '../../circuit/copper/two-shorts.ts';
import type { CopperCases } from './copper-cases.ts';
import type { CopperReading } from './copper-readings.ts';
import { quadratic } from './gauss.ts';
import { type Doubts, measuredOf } from './measured.ts';
import type { Place } from './place.ts';
import type { Short } from './short.ts';
import type { Term } from './term.ts';
import { meanOf, spreadOf } from './weigh-case.ts';

/** Fits, ln, of two shorts of given ohms, and of the first alone, all with the uncertainty of the first. */
export interface PairLook {
  readonly before: number;
  /** With a second short at a place, of any ohms. */
  beside(at: Place): (one: number, other: number) => number;
}

/**
 * A quick look at second shorts beside a first one.
 * @param term what fits best where the first is alone
 * @returns undefined where the readings find no way through the first
 */
export function lookAtPairs(
  cases: CopperCases,
  readings: readonly CopperReading[],
  doubts: Doubts,
  { form, place, scale, short }: Pick<Term, 'form' | 'place' | 'scale' | 'short'>,
  one: Short,
): PairLook | undefined {
  const found = cases.caseOf(form, [one], [place], [0], readings);
  if (found === undefined) return undefined;
  const measured = measuredOf(readings, doubts);
  const { factor, error } = spreadOf(found, measured, scale);
  // What a second short changes is told by one way of many; where the first leads, by all of them.
  const [way = form] = form.members ?? [];
  const alone = way === form ? found : cases.caseOf(way, [one], [place], [0], readings);
  if (alone === undefined) return undefined;
  const fitOf = (left: Float64Array): number => -0.5 * quadratic(factor, left);
  const two = new TwoShorts(
    readings.map(({ state, drive, sense }) => {
      return { sides: [way.first.under(state), way.second.under(state)], drive, sense };
    }),
  );
  const unexplained = measured.ohms.map(
    (own, k) => own - (meanOf(found, scale, k) - meanOf(alone, scale, k)),
  );
  return {
    before: fitOf(error.map((own, k) => own - short.mean * (found.share[k] as number))),
    beside: (at) => {
      const foreseen = two.between(place, at);
      return (x, y) => {
        const left = foreseen(x / scale, y / scale);
        for (let k = 0; k < left.length; k++) {
          left[k] = (unexplained[k] as number) - scale * (left[k] as number);
        }
        return fitOf(left);
      };
    },
  };
}
