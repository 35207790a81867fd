/** What a caller may ask of an open job. */

import type { MeterMode } from '../../circuit/reading.ts';
import { parsePoint } from '../../job/points.ts';
import { type ChangeView, viewChange } from '../../report/change.ts';
import { viewDrill } from '../../report/drill.ts';
import { viewCall } from '../../report/step-for-programs.ts';
import { residualLine } from '../../report/unmeasured.ts';
import { foresee } from '../../steps/foresee.ts';
import { injectionNews } from '../injection.ts';
import { standingOf, unmeasuredAt } from '../standing.ts';
import type { Study } from '../study.ts';
import { pairExplained, partExplained } from '../why-views.ts';
import type { RecordedLine } from '../work.ts';
import { CODE, isObject, type JsonObject, RpcError } from './rpc.ts';
import { lineOfObject } from './said-object.ts';
import { afterRecording, type ServedJob } from './served-job.ts';
import { measured } from './simulated.ts';
import { stateOf } from './state.ts';

/** Answers one call; its params have passed their schema. */
export type Method = (job: ServedJob, params: JsonObject) => Promise<JsonObject>;

type Points = readonly [string, string];

export const METHODS: Readonly<Record<string, Method>> = {
  next: async (job) => {
    const study = await job.study();
    const { raw, view } = study.advice();
    const standing = standingOf(job.work, study);
    const { warnings, injection } = standing;
    return {
      ...viewCall(job.work.board, standing, raw, view),
      warnings,
      ...(injection === undefined ? {} : { injection }),
    };
  },
  state: async (job) => stateOf(job, await job.study()),
  record: async (job, { event, events }) => {
    if ((event === undefined) === (events === undefined)) {
      throw new RpcError(CODE.badParams, 'params: either "event" or "events" is wanted');
    }
    const said = event === undefined ? (events as unknown[]) : [event];
    return await recordLines(job, said.map(lineOf));
  },
  undo: async (job, { count = 1 }) => {
    const changed = await recordLines(job, [`undo ${count}`]);
    const { undone, events } = job.work.derived.history;
    const own = undone.filter(({ by }) => by === events.at(-1)?.n);
    return { undone: own.map(({ event: { n, say } }) => ({ n, say })), ...changed };
  },
  why: async (job, { part, points }) => {
    if ((part === undefined) === (points === undefined)) {
      throw new RpcError(CODE.badParams, 'params: either "part" or "points" is wanted');
    }
    const study = await job.study();
    const { board } = job.work;
    if (part !== undefined) return { part: partExplained(board, study, String(part)) };
    return { pair: pairExplained(board, study, ...(points as Points)) };
  },
  predict: async (job, { points, mode = 'continuity' }) => {
    const { analysis } = await job.study();
    const [red, black] = (points as Points).map((point) => parsePoint(job.work.board, point));
    if (red === undefined || black === undefined) throw new TypeError('two points');
    try {
      const outcomes = foresee(analysis, { mode: mode as MeterMode, red, black });
      return { points, mode, outcomes, leftOut: analysis.beliefs.leftOut };
    } catch (error) {
      if (error instanceof RangeError) throw new RpcError(CODE.refused, error.message);
      throw error;
    }
  },
  measure: async (job, params) => ({ lines: await measured(job, params) }),
  close: async (job) => {
    const { work, drill } = job;
    if (drill === undefined) {
      work.close();
      return { closed: true };
    }
    const { raw } = (await job.study()).advice();
    const clear = raw.step.kind === 'done' && raw.phase === 'clear';
    const { minutes: _minutes, ...view } = viewDrill(work.board, drill.hidden, work.derived, {
      clear,
      minutes: 0,
    });
    return { closed: true, drill: view };
  },
};

function lineOf(said: unknown): string {
  return isObject(said) ? lineOfObject(said) : String(said);
}

/** Records, and says what changed; what is recorded stays so when the weighing fails. */
async function recordLines(job: ServedJob, lines: readonly string[]): Promise<JsonObject> {
  const { board, derived } = job.work;
  const recorded = job.record(lines); // first of all: what follows may take a while
  try {
    const before = await job.study(board, derived.evidence);
    return await changeSince(job, before, recorded);
  } catch (error) {
    throw afterRecording(error, recorded);
  }
}

async function changeSince(
  job: ServedJob,
  before: Study,
  recorded: readonly RecordedLine[],
): Promise<JsonObject> {
  const after = await job.study();
  const { board, derived } = job.work;
  const change: ChangeView = viewChange(recorded, before.diagnosis, after.diagnosis);
  const { moved, newlyCleared } = change;
  const { contradictory, wrongSets, sets } = after.diagnosis;
  const [likeliest] = sets;
  const doubts = injectionNews(board, derived, recorded.length)?.doubts;
  return {
    recorded,
    moved,
    newlyCleared,
    ...(likeliest === undefined ? {} : { likeliest }),
    contradictory,
    wrongSets,
    unmeasured: unmeasuredAt(board, derived, recorded.length).map((one) =>
      residualLine(board, one),
    ),
    ...(doubts === undefined ? {} : { injectionDoubts: doubts }),
  };
}
