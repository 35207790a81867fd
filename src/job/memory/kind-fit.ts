/** How the handbooks' figures fit a shop, by kind of part. */
import type { Past } from './past.ts';

/** The handbooks count for a kind as if they had seen so many failures of it. */
const KIND_STRENGTH = 3;
/** How far a kind may be moved. */
export const MOST_KIND_FACTOR = 10;

export interface KindFit {
  readonly kind: string;
  /** Failures that were found, and that the handbooks expect of the same boards; old ones count less. */
  readonly found: number;
  readonly expected: number;
  /** Times as often as the handbooks say, in what follows from now on. */
  readonly times: number;
}

/** Kinds of which at least one failure was found or expected, those first that fail oftenest beside the handbooks. */
export function kindFits({ own, others }: Past): KindFit[] {
  const names = new Set([own, others].flatMap(({ expected }) => [...expected.kinds.keys()]));
  return [...names]
    .map((kind): KindFit => {
      const both = [own, others];
      const found = both.reduce((sum, { kinds }) => sum + (kinds.get(kind)?.all ?? 0), 0);
      const expected = both.reduce((sum, one) => sum + (one.expected.kinds.get(kind) ?? 0), 0);
      const times = kindFactor(found, expected);
      return { kind, found: short(found), expected: short(expected), times: short(times) };
    })
    .filter(({ found, expected }) => found >= 1 || expected >= 1)
    .sort((x, y) => y.times - x.times || (x.kind < y.kind ? -1 : 1));
}

/** Gamma: how many times oftener a kind failed than the handbooks expect. */
export function kindFactor(found: number, expected: number): number {
  const factor = (KIND_STRENGTH + found) / (KIND_STRENGTH + expected);
  return Math.min(Math.max(factor, 1 / MOST_KIND_FACTOR), MOST_KIND_FACTOR);
}

function short(value: number): number {
  return Number(value.toPrecision(2));
}
