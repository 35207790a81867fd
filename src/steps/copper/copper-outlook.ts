import { normalBelow } from '../../circuit/meter.ts';
import type { Analysis } from '../advise.ts';
import type { Outlook } from '../outlook.ts';
import type { Foreseeing } from './narrowing.ts';

/** What a reading along the copper is good for, and the current it is taken under, A; absent: four-wire. */
interface CopperTold extends Pick<Outlook, 'gain' | 'minutesAfter'> {
  readonly amps?: number | undefined;
}

/** What a reading along the copper may show, in three groups that are about as likely as each other. */
export function copperOutlook(
  { hypotheses, beliefs }: Analysis,
  known: readonly Foreseeing[],
  k: number,
  { gain, minutesAfter, amps }: CopperTold,
): Outlook {
  const own = known.map(({ foreseen: { mean, covariance }, ...rest }) => {
    const deviation = Math.sqrt(covariance[k * mean.length + k] as number);
    return { ...rest, mean: mean[k] as number, deviation };
  });
  const below = (ohms: number): number[] =>
    own.map(({ mean, deviation }) => normalBelow((ohms - mean) / deviation));
  const edges = [1 / 3, 2 / 3].map((share) => edgeAt(own, share));
  const [low = 0, high = 0] = edges;
  const chances = [
    below(low),
    below(high).map((p, n) => p - (below(low)[n] as number)),
    below(high).map((p) => 1 - p),
  ];
  const shown = (ohms: number): string => told(ohms, amps);
  const texts = [`below ${shown(low)}`, `${shown(low)} to ${shown(high)}`, `above ${shown(high)}`];
  const ofPart = new Map(own.map(({ part }, n) => [part, n]));
  return {
    gain,
    minutesAfter,
    answers: texts.map((text, a) => {
      const shares = chances[a] as number[];
      const weights = hypotheses.map(({ weight, accused }) => {
        const parts = accused.flatMap(
          (id) => beliefs.problem.universe.faults[id]?.members[0]?.part ?? [],
        );
        const n = parts.map((part) => ofPart.get(part)).find((at) => at !== undefined);
        return weight * (n === undefined ? 1 / 3 : (shares[n] as number));
      });
      const chance = weights.reduce((sum, w) => sum + w, 0);
      return { text, chance, weights: weights.map((w) => (chance > 0 ? w / chance : 0)) };
    }),
  };
}

/** Ω below which a share of what may be read lies. */
function edgeAt(
  own: readonly { readonly weight: number; readonly mean: number; readonly deviation: number }[],
  share: number,
): number {
  let low = Math.min(...own.map(({ mean, deviation }) => mean - 4 * deviation));
  let high = Math.max(...own.map(({ mean, deviation }) => mean + 4 * deviation));
  for (let step = 0; step < 40; step++) {
    const middle = (low + high) / 2;
    const sum = own.reduce((all, { weight, mean, deviation }) => {
      return all + weight * normalBelow((middle - mean) / deviation);
    }, 0);
    if (sum < share) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/** As the meter shows it: milliohms, or under a current millivolts. */
function told(ohms: number, amps: number | undefined): string {
  const milli = ohms * 1000 * (amps ?? 1);
  return `${Math.abs(milli) < 1000 ? milli.toFixed(1) : milli.toFixed(0)} ${amps === undefined ? 'mΩ' : 'mV'}`;
}
