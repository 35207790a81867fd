/** What a store tells, from all lessons and corrections at hand. */
import type { Lesson } from './lesson.ts';
import { failedOn } from './model-sums.ts';
import { byModel, type Corrections, goesBy, modelName, NO_CORRECTIONS } from './models.ts';
import { type Past, pastOf } from './past.ts';
import type { MemoryRules } from './rules.ts';
import { type BoardName, type MemoryStore, MOST_PARTS, type ModelSummary } from './store.ts';

type Reads = Pick<MemoryStore, 'past' | 'models' | 'lessonsOf' | 'knows' | 'names'>;

/** The reading half of a store that holds its lessons one by one. */
export function lessonReads(source: Pick<MemoryStore, 'lessons' | 'corrections'>): Reads {
  const models = async (): Promise<Map<string, Lesson[]>> =>
    byModel(await source.lessons(), await source.corrections());
  return {
    past: async (board, rules) =>
      pastFrom(await source.lessons(), await source.corrections(), board, rules),
    models: async () => [...(await models())].map(([model, lessons]) => summaryOf(model, lessons)),
    lessonsOf: async (model) => (await models()).get(model) ?? [],
    knows: async (job) => (await source.lessons()).some((lesson) => lesson.job === job),
    names: async () => [...byModel(await source.lessons(), NO_CORRECTIONS).keys()],
  };
}

function pastFrom(
  lessons: readonly Lesson[],
  corrections: Corrections,
  board: BoardName,
  rules: MemoryRules,
): Past | undefined {
  const models = byModel(lessons, corrections);
  const own = goesBy(modelName(board), corrections);
  const others = [...models].filter(([model]) => model !== own).map(([, held]) => held);
  const past = pastOf(models.get(own) ?? [], others, rules);
  const isEmpty = past.own.boards + past.others.boards === 0 && past.timings.size === 0;
  return isEmpty ? undefined : past;
}

function summaryOf(model: string, lessons: readonly Lesson[]): ModelSummary {
  const teaching = lessons.filter(({ teaches }) => teaches.weight > 0);
  const counts = Object.entries(failedOn(teaching)).sort(
    ([x, a], [y, b]) => b - a || (x < y ? -1 : 1),
  );
  return {
    model,
    jobs: lessons.length,
    teaching: teaching.length,
    fails: counts.slice(0, MOST_PARTS).map(([part, boards]) => ({ part, boards })),
  };
}
