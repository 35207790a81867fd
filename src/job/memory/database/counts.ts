/** What one lesson counts for, for a store that adds up numbers and knows nothing of boards; and back again. */
import { handKey } from '../hand-key.ts';
import type { Lesson } from '../lesson.ts';
import type { Past } from '../past.ts';
import { type FoundSum, pairsOf, type Tally } from '../tally.ts';
import { FOUND_FROM } from '../teaching.ts';

/** Three sums at most are kept of one thing; those that a thing has none of are 0. */
export type Figures = readonly [number, number, number];
/** By what is counted (the table `counted` names them), then by name of part, kind, action and so on. */
export type Counts = Readonly<Record<string, Readonly<Record<string, Figures>>>>;

/** A sum over many lessons. */
export interface SumRow {
  /** Jobs of this model, those of all other models, or the last few of this model. */
  readonly of: 'model' | 'others' | 'last';
  readonly what: string;
  readonly key: string;
  readonly figures: Figures;
}

/** Changes with what is counted: jobs that were handed in under another form are handed in anew. */
export const COUNTS_FORM = 1;

/** What other models learn nothing from. */
const OWN_ALONE: ReadonlySet<string> = new Set(['part', 'joint', 'bank', 'unit', 'pair']);

/** Sums as they are seen from a model that none of them is of. */
export function asOfOthers(rows: readonly SumRow[]): SumRow[] {
  return rows
    .filter(({ of, what }) => of !== 'last' && !OWN_ALONE.has(what))
    .map((row) => ({ ...row, of: 'others' }));
}

/** Every job counts as one here: how it fades, and how much it teaches, is the store's business. */
export function countsOf(lesson: Lesson): Counts {
  const sums = new Sums();
  sums.add('boards', '', 1);
  for (const { part, kind, duty, how, sure, bank } of lesson.failed) {
    if (sure >= FOUND_FROM) sums.add('found', part, 1);
    if (bank !== undefined) continue; // counted with its bank
    const found = [sure, how === 'short' ? sure : 0, how === 'open' ? sure : 0] as const;
    sums.add('part', part, ...found);
    sums.add('kind', kind, ...found);
    sums.add('duty', duty, ...found);
  }
  for (const joint of lesson.joints) {
    sums.add('joint', joint, 1);
    sums.add('joints', '', 1);
  }
  for (const bank of lesson.banks) {
    sums.add('bank', bank, 1);
    sums.add('banks', '', 1);
  }
  for (const unit of lesson.units) sums.add('unit', unit, 1);
  for (const pair of pairsOf(lesson.units)) sums.add('pair', pair, 1);
  const { kinds, duties, joints, banks } = lesson.expected;
  for (const [kind, count] of Object.entries(kinds)) sums.add('expected kind', kind, count);
  for (const [duty, count] of Object.entries(duties)) sums.add('expected duty', duty, count);
  sums.add('expected joints', '', joints);
  sums.add('expected banks', '', banks);
  for (const [action, timed] of Object.entries(lesson.minutes)) {
    sums.add('minutes', action, ...timed);
  }
  for (const [hand, actions] of Object.entries(lesson.hands ?? {})) {
    for (const [action, timed] of Object.entries(actions)) {
      sums.add('minutes of a hand', `${handKey(hand)}\n${action}`, ...timed);
    }
  }
  return sums.counts();
}

/**
 * Sums as figures are learnt from.
 * @returns undefined where nothing was counted
 */
export function pastFrom(rows: readonly SumRow[]): Past | undefined {
  if (rows.every(({ of }) => of === 'last')) return undefined;
  const sums = { model: new Sums(), others: new Sums(), last: new Sums() };
  for (const { of, what, key, figures } of rows) sums[of].add(what, key, ...figures);
  const all = new Sums();
  for (const { of, what, key, figures } of rows) if (of !== 'last') all.add(what, key, ...figures);
  const failed = [...sums.last.of('found')].map(([part, [boards]]) => [part, boards]);
  return {
    own: tallyFrom(sums.model),
    others: tallyFrom(sums.others),
    timings: all.of('minutes'),
    hands: handsFrom(all.of('minutes of a hand')),
    last: { boards: sums.last.one('boards'), failed: Object.fromEntries(failed) },
  };
}

function handsFrom(sums: ReadonlyMap<string, Figures>): Past['hands'] {
  const hands = new Map<string, Map<string, Figures>>();
  for (const [key, figures] of sums) {
    const [hand = '', action = ''] = key.split('\n');
    hands.set(hand, (hands.get(hand) ?? new Map<string, Figures>()).set(action, figures));
  }
  return hands;
}

function tallyFrom(sums: Sums): Tally {
  const found = (what: string): Map<string, FoundSum> =>
    new Map([...sums.of(what)].map(([key, [all, short, open]]) => [key, { all, short, open }]));
  const counts = (what: string): Map<string, number> =>
    new Map([...sums.of(what)].map(([key, [count]]) => [key, count]));
  // Of other models only the totals are known.
  const totalled = (what: string, total: string): Map<string, number> => {
    const each = counts(what);
    return each.size > 0 ? each : new Map([['', sums.one(total)]]);
  };
  return {
    boards: sums.one('boards'),
    parts: found('part'),
    kinds: found('kind'),
    duties: found('duty'),
    joints: totalled('joint', 'joints'),
    banks: totalled('bank', 'banks'),
    units: counts('unit'),
    pairs: counts('pair'),
    expected: {
      kinds: counts('expected kind'),
      duties: counts('expected duty'),
      joints: sums.one('expected joints'),
      banks: sums.one('expected banks'),
    },
  };
}

class Sums {
  readonly #sums = new Map<string, Map<string, Figures>>();

  add(what: string, key: string, one: number, two = 0, three = 0): void {
    const keys = this.#sums.get(what) ?? new Map<string, Figures>();
    this.#sums.set(what, keys);
    const [a, b, c] = keys.get(key) ?? [0, 0, 0];
    keys.set(key, [a + one, b + two, c + three]);
  }

  of(what: string): ReadonlyMap<string, Figures> {
    return this.#sums.get(what) ?? new Map();
  }

  one(what: string): number {
    return this.of(what).get('')?.[0] ?? 0;
  }

  counts(): Counts {
    return Object.fromEntries(
      [...this.#sums].map(([what, keys]) => [what, Object.fromEntries(keys)]),
    );
  }
}
