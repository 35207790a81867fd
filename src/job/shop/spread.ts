/** A figure that is not known yet: what it is on average, and between which it most likely lies. */
export interface Spread {
  /** One time in ten it is less. */
  readonly low: number;
  readonly expected: number;
  /** One time in ten it is more. */
  readonly high: number;
}

export const NOTHING: Spread = { low: 0, expected: 0, high: 0 };

/**
 * The spread of figures that each have a weight.
 * @param rows weights on any scale; none at all gives nothing
 */
export function spreadOf(
  rows: readonly { readonly weight: number; readonly figure: number }[],
): Spread {
  const total = rows.reduce((sum, { weight }) => sum + weight, 0);
  if (!(total > 0)) return NOTHING;
  const expected = rows.reduce((sum, { weight, figure }) => sum + (weight / total) * figure, 0);
  const ordered = rows.filter(({ weight }) => weight > 0).sort((x, y) => x.figure - y.figure);
  const at = (share: number): number => {
    let before = 0;
    for (const { weight, figure } of ordered) {
      before += weight / total;
      if (before >= share - 1e-9) return figure;
    }
    return ordered.at(-1)?.figure ?? 0;
  };
  // A long thin tail may lift the mean past the limit of the other nine in ten.
  return {
    low: Math.min(at(0.1), expected),
    expected,
    high: Math.max(at(0.9), expected),
  };
}

/** The same moved by a figure that is known. */
export function shifted({ low, expected, high }: Spread, by: number): Spread {
  return { low: low + by, expected: expected + by, high: high + by };
}
