/** Sums of what lessons hold of one model, each counted by how much it teaches and how old it is. */
import type { Expected } from './expected.ts';
import type { FoundFailed, Lesson } from './lesson.ts';
import type { MemoryRules } from './rules.ts';

/** Found of one kind: in all, and as far as told by what the failure left. */
export interface FoundSum {
  readonly all: number;
  readonly short: number;
  readonly open: number;
}

export interface Tally {
  /** Boards, each by how much it teaches. */
  readonly boards: number;
  readonly parts: ReadonlyMap<string, FoundSum>;
  /** By kind; what was found of banks that went together is in `banks`. */
  readonly kinds: ReadonlyMap<string, FoundSum>;
  /** The same by what the parts are there for. */
  readonly duties: ReadonlyMap<string, FoundSum>;
  readonly joints: ReadonlyMap<string, number>;
  readonly banks: ReadonlyMap<string, number>;
  /** Parts and whole banks, as lessons name them: jobs in which each was found failed. */
  readonly units: ReadonlyMap<string, number>;
  /** Two of those in order, a line break between them: jobs in which both were. */
  readonly pairs: ReadonlyMap<string, number>;
  /** What the handbooks expected. */
  readonly expected: {
    readonly kinds: ReadonlyMap<string, number>;
    readonly duties: ReadonlyMap<string, number>;
    readonly joints: number;
    readonly banks: number;
  };
}

/** A lesson and what it counts for. */
export interface Weighted {
  readonly lesson: Lesson;
  readonly weight: number;
}

/** Newest first, those of one moment by their names, so that the order they come in does not matter. */
export function newestFirst(lessons: readonly Lesson[]): Lesson[] {
  return [...lessons].sort((x, y) =>
    x.at === y.at ? (x.job < y.job ? 1 : -1) : x.at < y.at ? 1 : -1,
  );
}

/** What each lesson of one model counts for: how much it teaches, less with every board that came after. */
export function faded(lessons: readonly Lesson[], { halfAfter }: MemoryRules): Weighted[] {
  const teaching = newestFirst(lessons.filter(({ teaches }) => teaches.weight > 0));
  return teaching.map((lesson, after) => {
    return { lesson, weight: lesson.teaches.weight * 2 ** (-after / halfAfter) };
  });
}

export function tallyOf(weighted: readonly Weighted[]): Tally {
  const tally = emptyTally();
  // Jobs on one board file share what is expected of it: added up once, the same way wherever it was kept.
  const shared = new Map<string, { expected: Expected; boards: number }>();
  for (const { lesson, weight } of weighted) {
    tally.boards += weight;
    for (const found of lesson.failed) {
      if (found.bank !== undefined) continue; // counted with its bank
      addFound(tally.parts, found.part, found, weight);
      addFound(tally.kinds, found.kind, found, weight);
      addFound(tally.duties, found.duty, found, weight);
    }
    for (const joint of lesson.joints) add(tally.joints, joint, weight);
    for (const bank of lesson.banks) add(tally.banks, bank, weight);
    for (const unit of lesson.units) add(tally.units, unit, weight);
    for (const pair of pairsOf(lesson.units)) add(tally.pairs, pair, weight);
    const { expected } = lesson;
    const text = textOf(expected);
    shared.set(text, { expected, boards: (shared.get(text)?.boards ?? 0) + weight });
  }
  for (const { expected, boards } of shared.values()) {
    const sum = tally.expected;
    for (const [kind, count] of Object.entries(expected.kinds))
      add(sum.kinds, kind, boards * count);
    for (const [duty, count] of Object.entries(expected.duties)) {
      add(sum.duties, duty, boards * count);
    }
    sum.joints += boards * expected.joints;
    sum.banks += boards * expected.banks;
  }
  return tally;
}

/** Of several models: what is told by kind and duty, and in all. Parts have their names from their board. */
export function tallyOfModels(tallies: readonly Tally[]): Tally {
  const all = emptyTally();
  for (const { boards, kinds, duties, joints, banks, expected } of tallies) {
    all.boards += boards;
    for (const [kind, found] of kinds) addSum(all.kinds, kind, found);
    for (const [duty, found] of duties) addSum(all.duties, duty, found);
    for (const [joint, count] of joints) add(all.joints, joint, count);
    for (const [bank, count] of banks) add(all.banks, bank, count);
    for (const [kind, count] of expected.kinds) add(all.expected.kinds, kind, count);
    for (const [duty, count] of expected.duties) add(all.expected.duties, duty, count);
    all.expected.joints += expected.joints;
    all.expected.banks += expected.banks;
  }
  return all;
}

function emptyTally() {
  const found = (): Map<string, FoundSum> => new Map();
  const counts = (): Map<string, number> => new Map();
  return {
    boards: 0,
    parts: found(),
    kinds: found(),
    duties: found(),
    joints: counts(),
    banks: counts(),
    units: counts(),
    pairs: counts(),
    expected: { kinds: counts(), duties: counts(), joints: 0, banks: 0 },
  } satisfies Tally;
}

/** Two by two, in order. */
export function pairsOf(units: readonly string[]): string[] {
  const names = [...units].sort();
  return names.flatMap((one, at) => names.slice(at + 1).map((other) => `${one}\n${other}`));
}

const texts = new WeakMap<Expected, string>();

function textOf(expected: Expected): string {
  const held = texts.get(expected) ?? JSON.stringify(expected);
  texts.set(expected, held);
  return held;
}

function addFound(
  sums: Map<string, FoundSum>,
  key: string,
  { sure, how }: FoundFailed,
  weight: number,
): void {
  const more = weight * sure;
  addSum(sums, key, {
    all: more,
    short: how === 'short' ? more : 0,
    open: how === 'open' ? more : 0,
  });
}

function addSum(sums: Map<string, FoundSum>, key: string, more: FoundSum): void {
  const held = sums.get(key) ?? NONE;
  sums.set(key, {
    all: held.all + more.all,
    short: held.short + more.short,
    open: held.open + more.open,
  });
}

const NONE: FoundSum = { all: 0, short: 0, open: 0 };

function add(sums: Map<string, number>, key: string, more: number): void {
  sums.set(key, (sums.get(key) ?? 0) + more);
}
