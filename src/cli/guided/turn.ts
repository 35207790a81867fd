import { InputError } from '../../board/diagnostic.ts';
import type { BoardState } from '../../circuit/state.ts';
import { changeLines, viewChange } from '../../report/change.ts';
import type { StandingView } from '../../report/standing.ts';
import type { Style } from '../../report/style.ts';
import { wrap } from '../../report/wrap.ts';
import type { Step } from '../../steps/step.ts';
import type { Context } from '../context.ts';
import { standingOf } from '../standing.ts';
import { type Study, studyAtLength } from '../study.ts';
import type { Work } from '../work.ts';
import type { BenchNow } from './player.ts';

/** Where a session stands between two prompts. */
export interface Turn {
  readonly study: Study;
  readonly standing: StandingView;
  readonly state: BoardState;
  /** The same, and the current that is on. */
  readonly now: BenchNow;
  /** Which of the steps on offer is shown: 0 the best, then the others. */
  readonly pick: number;
  /** What came of the last answer. */
  readonly news: readonly string[];
  /** A line that was refused, to be mended. */
  readonly mend?: string;
}

/** The turn after everything recorded so far. */
export async function freshTurn(context: Context, work: Work): Promise<Turn> {
  const { evidence } = work.derived;
  const known = await studyAtLength(context, work.board, evidence);
  const standing = standingOf(work, known);
  const news = known.stopped === undefined ? [] : [known.stopped];
  return { study: known, standing, state: evidence.state, now: evidence, pick: 0, news };
}

/** The step shown: the best one, or another the person asked for. */
export function stepOf(turn: Turn): Step {
  const { raw } = turn.study.advice();
  return raw.others[turn.pick - 1]?.step ?? raw.step;
}

/** What the step shown costs, bench minutes. */
export function minutesOf(turn: Turn): number {
  if (turn.standing.task !== undefined) return 0;
  const { raw } = turn.study.advice();
  return raw.others[turn.pick - 1]?.minutes ?? raw.minutes;
}

export function hasOtherSteps(turn: Turn): boolean {
  return turn.standing.task === undefined && turn.study.advice().raw.others.length > 0;
}

/** The same turn with the next step on offer shown; after the last comes the best again. */
export function withOtherStep(turn: Turn): Turn {
  const { others } = turn.study.advice().raw;
  return { ...withoutMend(turn), pick: (turn.pick + 1) % (others.length + 1), news: [] };
}

/**
 * Records lines and turns to the next step. Refused lines are told as news.
 * @param typed what the person typed, put back to be mended when it is refused
 */
export async function turnAfter(
  context: Context,
  work: Work,
  turn: Turn,
  style: Style,
  lines: () => readonly string[],
  typed?: string,
): Promise<Turn> {
  const before = work.derived;
  try {
    const recorded = work.record(lines());
    if (recorded.length === 0) {
      // Nothing said, and yet time has passed.
      return { ...withoutMend(turn), standing: standingOf(work, turn.study), news: [] };
    }
    const next = await freshTurn(context, work);
    const change = viewChange(recorded, turn.study.diagnosis, next.study.diagnosis);
    const cautions = await injectionLines(work, recorded.length, style);
    return {
      ...next,
      news: [...changeLines(change, style), ...cautions, ...stoppedLines(next, style)],
    };
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    // A disk that failed between two lines has kept the first.
    const base = work.derived === before ? turn : await freshTurn(context, work);
    return refused(base, error, style, typed);
  }
}

/** What to mind of a current just begun, and of volts that are too high for one. */
async function injectionLines(work: Work, count: number, style: Style): Promise<string[]> {
  if (work.derived.evidence.lastInjection === undefined) return [];
  const { injectionNews } = await import('../injection.ts');
  return injectionNews(work.board, work.derived, count)?.lines(style) ?? [];
}

function stoppedLines({ news }: Turn, style: Style): string[] {
  return news.flatMap((text) => wrap(text, style.width)).map(style.palette.bad);
}

function refused(turn: Turn, error: InputError, style: Style, mend: string | undefined): Turn {
  const texts = error.diagnostics.slice(0, 3).flatMap(({ message, hint }) => {
    const told = [`Not recorded: ${message}`];
    return hint === undefined ? told : [...told, hint];
  });
  const news = texts.flatMap((text) => wrap(text, style.width)).map(style.palette.bad);
  const plain = { ...withoutMend(turn), news };
  return mend === undefined ? plain : { ...plain, mend };
}

function withoutMend(turn: Turn): Turn {
  const { mend: _mend, ...rest } = turn;
  return rest;
}
