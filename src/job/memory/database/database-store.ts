/** The memory in a database: what all benches of a shop handed in, added up there. */
import { createHash } from 'node:crypto';
import type { JobWords, Lesson } from '../lesson.ts';
import { type Corrections, modelName } from '../models.ts';
import { nameless } from '../nameless.ts';
import type { BoardName, ModelSummary } from '../store.ts';
import { COUNTS_FORM, countsOf, type Figures, type SumRow } from './counts.ts';
import type { Link, Row } from './link.ts';
import { SCHEMA_NUMBER } from './migrations/index.ts';
import { tooOld } from './prepare.ts';
import * as ask from './statements.ts';

/** Lessons that are fetched at once. */
const PAGE = 2000;

/** `same`: it was there already; `older`: a later copy of the record was there. */
export type Became = 'new' | 'changed' | 'same' | 'older';

export class DatabaseStore {
  readonly link: Link;

  constructor(link: Link) {
    this.link = link;
  }

  /** Hands a lesson in; the same twice changes nothing. */
  async handIn(lesson: Lesson): Promise<Became> {
    const { words } = lesson;
    const [row] = await this.link.ask(ask.HAND_IN, [
      lesson.job,
      modelName(lesson),
      lesson.at,
      lesson.teaches.weight,
      sumOfLesson(lesson),
      JSON.stringify(nameless(lesson)),
      JSON.stringify(countsOf(lesson)),
      words === undefined ? null : JSON.stringify(words),
    ]);
    return row?.became as Became;
  }

  /** Sums for one board, as of now. */
  async sums({ board, revision }: BoardName): Promise<readonly SumRow[]> {
    const rows = await this.link.ask(ask.PAST, [modelName({ board, revision })]);
    const form = Number(rows.find(({ of }) => of === 'form')?.s1 ?? 0);
    if (form > SCHEMA_NUMBER) throw tooOld(form, SCHEMA_NUMBER);
    return rows.filter(({ of }) => of !== 'form').map(sumRow);
  }

  async models(): Promise<readonly ModelSummary[]> {
    const rows = await this.link.ask(ask.MODELS);
    return rows.map(({ name, jobs, teaching, fails }) => ({
      model: name as string,
      jobs: jobs as number,
      teaching: teaching as number,
      fails: fails as ModelSummary['fails'],
    }));
  }

  async lessonsOf(model: string): Promise<readonly Lesson[]> {
    const rows = await this.link.ask(ask.LESSONS_OF, [model]);
    return rows.map(({ lesson, words }) => ({
      ...(lesson as Lesson),
      ...(words === null ? {} : { words: words as JobWords }),
    }));
  }

  async lessons(): Promise<readonly Lesson[]> {
    const all: Lesson[] = [];
    for (let after = ''; ; ) {
      const rows = await this.link.ask(ask.LESSONS, [after, PAGE]);
      for (const { lesson } of rows) all.push(lesson as Lesson);
      const last = rows.at(-1)?.job;
      if (typeof last !== 'string' || rows.length < PAGE) return all;
      after = last;
    }
  }

  async knows(job: string): Promise<boolean> {
    const [row] = await this.link.ask(ask.KNOWS, [job]);
    return row?.known === true;
  }

  async names(): Promise<readonly string[]> {
    return (await this.link.ask(ask.NAMES)).map(({ name }) => name as string);
  }

  async corrections(): Promise<Corrections> {
    const forgotten = await this.link.ask(ask.FORGOTTEN);
    const same = await this.link.ask(ask.SAME_AS);
    return {
      forgotten: new Set(forgotten.map(({ job }) => job as string)),
      sameAs: new Map(same.map((row) => [row.name as string, row.same as string])),
    };
  }

  async forget(job: string): Promise<void> {
    await this.link.ask(ask.FORGET, [job]);
  }

  async recall(job: string): Promise<void> {
    await this.link.ask(ask.RECALL, [job]);
  }

  async merge(name: string, same: string): Promise<void> {
    await this.link.ask(ask.MERGE, [name, same]);
  }

  /** Adds everything up anew from the lessons. */
  async recount(): Promise<void> {
    await this.link.alone((client) => client.query(ask.RECOUNT.text));
  }
}

/** Of all that is handed in: by it, what changed since is known. */
export function sumOfLesson(lesson: Lesson): string {
  const text = JSON.stringify([COUNTS_FORM, lesson], inOrder);
  return createHash('sha256').update(text).digest('hex').slice(0, 32);
}

/** Keys in order: a lesson is the same however it was put together. */
function inOrder(_key: string, value: unknown): unknown {
  if (typeof value !== 'object' || value === null || Array.isArray(value)) return value;
  return Object.fromEntries(Object.entries(value).sort(([x], [y]) => (x < y ? -1 : 1)));
}

function sumRow({ of, what, key, s1, s2, s3 }: Row): SumRow {
  const figures: Figures = [Number(s1), Number(s2), Number(s3)];
  return { of: of as SumRow['of'], what: what as string, key: key as string, figures };
}
