/** What the memory holds of one model, with names and figures as they are shown. */
import { harmless } from '../../board/shown-text.ts';
import type { ClearedBy, FoundBy, Lesson } from '../../job/memory/lesson.ts';
import type { MemoryRules } from '../../job/memory/rules.ts';
import { faded, newestFirst } from '../../job/memory/tally.ts';
import { FOUND_FROM } from '../../job/memory/teaching.ts';
import { WORK_STAGES } from '../../job/stage-of.ts';
import { type WorkView, workOf } from './work-view.ts';

export interface ModelView {
  readonly model: string;
  /** Names that were merged into it; empty: none. */
  readonly names: readonly string[];
  readonly jobs: number;
  /** Jobs that teach anything, and what all of them count for, newer ones more. */
  readonly teaching: number;
  readonly countsFor: number;
  readonly fails: readonly FailsView[];
  /** Parts found failed in the same job, oftenest first. */
  readonly together: readonly { readonly parts: readonly string[]; readonly jobs: number }[];
  readonly joints: readonly { readonly joint: string; readonly jobs: number }[];
  /** Parts that were renewed or taken off, and never found failed. */
  readonly innocent: readonly InnocentView[];
  readonly comebacks: readonly ComebackView[];
  /** Mean minutes by stage, in groups of jobs from the oldest on. */
  readonly minutes: readonly MinutesView[];
  /** How long each kind of bench work took, and whom. */
  readonly work: readonly WorkView[];
  /** Newest first. */
  readonly records: readonly RecordView[];
}

export interface FailsView {
  readonly part: string;
  readonly kind: string;
  /** Teaching jobs in which it was found failed; and those in which it may have been one of several. */
  readonly jobs: number;
  readonly maybe: number;
  readonly shorts: number;
  readonly opens: number;
  readonly by: Readonly<Partial<Record<FoundBy, number>>>;
  /** Jobs in which it was shown healthy, and in which it was renewed all the same. */
  readonly cleared: number;
  readonly renewed: number;
}

export interface InnocentView {
  readonly part: string;
  readonly renewed: number;
  readonly cleared: Readonly<Partial<Record<ClearedBy, number>>>;
}

/** Two jobs on boards with the same marking. */
export interface ComebackView {
  readonly first: string;
  readonly again: string;
  /** Days from the end of the one to that of the other. */
  readonly days: number;
  /** Parts found failed both times. */
  readonly parts: readonly string[];
}

export interface MinutesView {
  /** Places of the jobs, from 1 for the oldest. */
  readonly from: number;
  readonly to: number;
  readonly minutes: number;
  readonly stages: Readonly<Record<string, number>>;
}

export interface RecordView {
  readonly job: string;
  readonly at: string;
  readonly teaches: number;
  readonly why: string;
  readonly failed: readonly string[];
  /** Where the shop lets its database have them. */
  readonly customer?: string;
}

/** Groups that the jobs are cut into, to show minutes over time. */
const GROUPS = 6;
const MOST_PAIRS = 20;

/** @param names that were merged into the model */
export function viewModel(
  model: string,
  lessons: readonly Lesson[],
  rules: MemoryRules,
  names: readonly string[] = [],
): ModelView {
  const ordered = newestFirst(lessons);
  const teaching = ordered.filter(({ teaches }) => teaches.weight > 0);
  const counts = faded(lessons, rules).reduce((sum, { weight }) => sum + weight, 0);
  return {
    model: harmless(model),
    names: names.map(harmless),
    jobs: ordered.length,
    teaching: teaching.length,
    countsFor: Number(counts.toFixed(2)),
    fails: failsOf(teaching),
    together: togetherOf(teaching),
    joints: [...countOf(teaching.flatMap(({ joints }) => joints))].map(([joint, jobs]) => ({
      joint: harmless(joint),
      jobs,
    })),
    innocent: innocentOf(teaching),
    comebacks: comebacksOf(ordered),
    minutes: minutesOf(ordered.toReversed()),
    work: workOf(ordered),
    records: ordered.map(({ job, at, teaches, failed, words }) => ({
      job,
      at,
      teaches: teaches.weight,
      why: teaches.why,
      failed: failed.filter(({ sure }) => sure >= FOUND_FROM).map(({ part }) => harmless(part)),
      ...(words === undefined ? {} : { customer: harmless(words.customer.join(', ')) }),
    })),
  };
}

function failsOf(lessons: readonly Lesson[]): FailsView[] {
  const all = lessons.flatMap(({ failed }) => failed);
  const cleared = countOf(lessons.flatMap((lesson) => lesson.cleared.map(({ part }) => part)));
  const renewed = countOf(lessons.flatMap((lesson) => lesson.renewed));
  return [...new Set(all.map(({ part }) => part))]
    .map((part): FailsView => {
      const own = all.filter((one) => one.part === part);
      const found = own.filter(({ sure }) => sure >= FOUND_FROM);
      return {
        part: harmless(part),
        kind: harmless(own[0]?.kind ?? ''),
        jobs: found.length,
        maybe: own.length - found.length,
        shorts: found.filter(({ how }) => how === 'short').length,
        opens: found.filter(({ how }) => how === 'open').length,
        by: Object.fromEntries(countOf(own.map(({ by }) => by))),
        cleared: cleared.get(part) ?? 0,
        renewed: renewed.get(part) ?? 0,
      };
    })
    .sort((x, y) => y.jobs - x.jobs || y.maybe - x.maybe || (x.part < y.part ? -1 : 1));
}

function togetherOf(lessons: readonly Lesson[]): ModelView['together'] {
  const pairs = lessons.flatMap(({ failed }) => {
    const parts = failed.filter(({ sure }) => sure >= FOUND_FROM).map(({ part }) => part);
    const sorted = [...new Set(parts)].sort();
    return sorted.flatMap((one, k) => sorted.slice(k + 1).map((other) => `${one}\n${other}`));
  });
  return [...countOf(pairs)]
    .slice(0, MOST_PAIRS)
    .map(([pair, jobs]) => ({ parts: pair.split('\n').map(harmless), jobs }));
}

function innocentOf(lessons: readonly Lesson[]): InnocentView[] {
  const failed = new Set(lessons.flatMap((lesson) => lesson.failed.map(({ part }) => part)));
  const renewed = countOf(lessons.flatMap((lesson) => lesson.renewed));
  const cleared = lessons.flatMap((lesson) => lesson.cleared);
  const parts = new Set([...renewed.keys(), ...cleared.map(({ part }) => part)]);
  return [...parts]
    .filter((part) => !failed.has(part))
    .map((part): InnocentView => {
      const by = cleared.filter((one) => one.part === part).map((one) => one.by);
      return {
        part: harmless(part),
        renewed: renewed.get(part) ?? 0,
        cleared: Object.fromEntries(countOf(by)),
      };
    })
    .sort((x, y) => touched(y) - touched(x) || (x.part < y.part ? -1 : 1));
}

function touched({ renewed, cleared }: InnocentView): number {
  return Object.values(cleared).reduce((sum, count) => sum + count, renewed);
}

function comebacksOf(newest: readonly Lesson[]): ComebackView[] {
  const last = new Map<string, Lesson>();
  return newest.toReversed().flatMap((lesson) => {
    if (lesson.marking === undefined) return [];
    const before = last.get(lesson.marking);
    last.set(lesson.marking, lesson);
    if (before === undefined) return [];
    const then = new Set(before.failed.map(({ part }) => part));
    const parts = lesson.failed.map(({ part }) => part).filter((part) => then.has(part));
    const days = (Date.parse(lesson.at) - Date.parse(before.at)) / 86_400_000;
    return [
      { first: before.job, again: lesson.job, days: Math.round(days), parts: parts.map(harmless) },
    ];
  });
}

function minutesOf(oldest: readonly Lesson[]): MinutesView[] {
  const size = Math.max(1, Math.ceil(oldest.length / GROUPS));
  const groups: MinutesView[] = [];
  for (let from = 0; from < oldest.length; from += size) {
    const group = oldest.slice(from, from + size);
    const stages: Record<string, number> = {};
    for (const stage of WORK_STAGES) {
      const sum = group.reduce((total, lesson) => total + (lesson.stages[stage] ?? 0), 0);
      if (sum > 0) stages[stage] = tenths(sum / group.length);
    }
    const minutes = tenths(Object.values(stages).reduce((sum, each) => sum + each, 0));
    groups.push({ from: from + 1, to: from + group.length, minutes, stages });
  }
  return groups;
}

function tenths(value: number): number {
  return Number(value.toFixed(1));
}

/** How often each comes, oftenest first, then by name. */
function countOf<T extends string>(items: readonly T[]): Map<T, number> {
  const counts = new Map<T, number>();
  for (const item of items) counts.set(item, (counts.get(item) ?? 0) + 1);
  return new Map([...counts].sort(([x, a], [y, b]) => b - a || (x < y ? -1 : 1)));
}
