/** Sums of what lessons hold of one model, each counted by how much it teaches and how old it is. */
import type { Expected } from './expected.ts';
import type { FoundFailed, Lesson } from './lesson.ts';
import type { MemoryRules } from './rules.ts';
import { FOUND_FROM } from './teaching.ts';

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
  readonly joints: ReadonlyMap<string, number>;
  readonly banks: ReadonlyMap<string, number>;
  /** Of parts in no common bank, by both names in order: jobs in which both were found failed. */
  readonly pairs: ReadonlyMap<
    string,
    { readonly parts: readonly [string, string]; readonly count: number }
  >;
  /** What the handbooks expected. */
  readonly expected: {
    readonly kinds: ReadonlyMap<string, number>;
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
  const parts = new Map<string, FoundSum>();
  const kinds = new Map<string, FoundSum>();
  const joints = new Map<string, number>();
  const banks = new Map<string, number>();
  const pairs = new Map<string, { parts: readonly [string, string]; count: number }>();
  // Jobs on one board file share what is expected of it: added up once, the same way wherever it was kept.
  const shared = new Map<string, { expected: Expected; boards: number }>();
  let boards = 0;
  for (const { lesson, weight } of weighted) {
    boards += weight;
    for (const found of lesson.failed) {
      if (found.bank !== undefined) continue; // counted with its bank
      addFound(parts, found.part, found, weight);
      addFound(kinds, found.kind, found, weight);
    }
    for (const joint of lesson.joints) add(joints, joint, weight);
    for (const bank of lesson.banks) add(banks, bank, weight);
    for (const both of pairsIn(lesson.failed)) {
      const held = pairs.get(both.join('\n'))?.count ?? 0;
      pairs.set(both.join('\n'), { parts: both, count: held + weight });
    }
    const { expected } = lesson;
    const text = textOf(expected);
    shared.set(text, { expected, boards: (shared.get(text)?.boards ?? 0) + weight });
  }
  return { boards, parts, kinds, joints, banks, pairs, expected: expectedIn([...shared.values()]) };
}

const texts = new WeakMap<Expected, string>();

function textOf(expected: Expected): string {
  const held = texts.get(expected) ?? JSON.stringify(expected);
  texts.set(expected, held);
  return held;
}

/** @param shared what is expected of one board, and of how many */
function expectedIn(
  shared: readonly { readonly expected: Expected; readonly boards: number }[],
): Tally['expected'] {
  const kinds = new Map<string, number>();
  let [joints, banks] = [0, 0];
  for (const { expected, boards } of shared) {
    for (const [kind, count] of Object.entries(expected.kinds)) add(kinds, kind, boards * count);
    joints += boards * expected.joints;
    banks += boards * expected.banks;
  }
  return { kinds, joints, banks };
}

/** Parts found failed in one job two by two, but those that their bank speaks for. */
function pairsIn(failed: readonly FoundFailed[]): (readonly [string, string])[] {
  const names = failed
    .filter(({ sure, bank }) => sure >= FOUND_FROM && bank === undefined)
    .map(({ part }) => part)
    .sort();
  return names.flatMap((one, at) => names.slice(at + 1).map((other) => [one, other] as const));
}

function addFound(
  sums: Map<string, FoundSum>,
  key: string,
  { sure, how }: FoundFailed,
  weight: number,
): void {
  const { all, short, open } = sums.get(key) ?? NONE;
  const more = weight * sure;
  sums.set(key, {
    all: all + more,
    short: short + (how === 'short' ? more : 0),
    open: open + (how === 'open' ? more : 0),
  });
}

const NONE: FoundSum = { all: 0, short: 0, open: 0 };

function add(sums: Map<string, number>, key: string, more: number): void {
  sums.set(key, (sums.get(key) ?? 0) + more);
}
