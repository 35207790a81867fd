/** What a refurbishment renews although nothing has shown it failed. */
import type { Part } from '../../board/model.ts';

/** Kinds that wear out by age and heat alone, the liquid in them drying up. */
const DRY_OUT: ReadonlySet<string> = new Set(['electrolytic']);

/** Why a refurbishment renews a part; undefined when it does not. */
export function dueFor({ kind, failsFirst }: Part): 'dries out' | 'fails first' | undefined {
  if (failsFirst) return 'fails first';
  return DRY_OUT.has(kind.name) ? 'dries out' : undefined;
}
