/**
 * The known word a person most likely meant, or undefined when none is near enough.
 *
 * Counts insertions, deletions, substitutions and swapped neighbours; letter case costs nothing.
 * A word of n letters may be off by a third of them, and by one at least. Ties go to the word
 * that comes first.
 */
export function nearest(word: string, known: Iterable<string>): string | undefined {
  const wanted = word.toLowerCase();
  let best: string | undefined;
  let bestDistance = Math.max(1, Math.floor(wanted.length / 3)) + 1;
  if (wanted.length > 64) return undefined;
  for (const candidate of known) {
    if (Math.abs(candidate.length - wanted.length) >= bestDistance) continue;
    const distance = editDistance(wanted, candidate.toLowerCase(), bestDistance);
    // A one-letter word turned wholly into another is no likeness.
    if (distance < bestDistance && distance < Math.max(wanted.length, candidate.length)) {
      best = candidate;
      bestDistance = distance;
    }
  }
  return best;
}

/**
 * Edits between two words, neighbours swapped counting one (optimal string alignment).
 * Stops and gives `limit` as soon as the distance cannot stay below it.
 */
export function editDistance(a: string, b: string, limit: number): number {
  let previous: number[] = [];
  let current = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const beforePrevious = previous;
    previous = current;
    current = [i];
    let rowLeast = i;
    for (let j = 1; j <= b.length; j++) {
      const cost = cellCost(a, b, i, j, beforePrevious, previous, current);
      current.push(cost);
      if (cost < rowLeast) rowLeast = cost;
    }
    if (rowLeast >= limit) return limit;
  }
  return Math.min(limit, current[b.length] ?? limit);
}

function cellCost(
  a: string,
  b: string,
  i: number,
  j: number,
  beforePrevious: readonly number[],
  previous: readonly number[],
  current: readonly number[],
): number {
  const same = a[i - 1] === b[j - 1];
  const substituted = (previous[j - 1] ?? 0) + (same ? 0 : 1);
  const cost = Math.min((previous[j] ?? 0) + 1, (current[j - 1] ?? 0) + 1, substituted);
  const swapped = i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1];
  return swapped ? Math.min(cost, (beforePrevious[j - 2] ?? 0) + 1) : cost;
}
