/** Everything known of a job, by replaying its events; nothing here is ever stored. */
import { type Diagnostic, InputError } from '../board/diagnostic.ts';
import type { Growth } from '../board/growth.ts';
import type { Board } from '../board/model.ts';
import { type BoardState, withLink } from '../circuit/state.ts';
import { type Evidence, type Look, NO_EVIDENCE, type TakenReading } from '../faults/evidence.ts';
import { type BenchLog, EMPTY_LOG, nextLog, type Upset, upsetBy } from './bench-log.ts';
import type { JobEvent } from './event-line.ts';
import { COPYING, type Growing, Replaying } from './growing.ts';
import { growthsIn, heldBy, mayBeGrowth, NO_GROWTH, withGrowths } from './growth/grown.ts';
import { learnHands, withoutPassed } from './hands.ts';
import { revisionIn, takeBack, type UndoneEvent } from './history.ts';
import { type LedgerEntry, nextLedger } from './ledger.ts';
import { parseSayUnder } from './notation.ts';
import type { Say } from './say.ts';
import { changesBoard, stateAfter } from './state-after.ts';
import { lineOf, problem, type SayPlace, splitWords } from './words.ts';

export { takeBack, type UndoneEvent } from './history.ts';
export type { LedgerEntry } from './ledger.ts';

/** An event that stands, with what it says. */
export interface ActiveEvent {
  readonly event: JobEvent;
  readonly say: Say;
}

/** A part that was replaced, and the event that last did so. */
export interface Replacement {
  readonly part: number;
  readonly since: number;
}

/** What a job amounts to. All but `history` depends on the standing events alone. */
export interface DerivedJob extends BenchLog {
  /** Cold readings since the last upset, looks, and the board as it is now. */
  readonly evidence: Evidence;
  /** What an eye saw of the board that its file lacks or has otherwise; in the order it was said. */
  readonly growths: readonly Growth[];
  /** Standing events in order, notes included, `undo` events not. */
  readonly active: readonly ActiveEvent[];
  /** What is not back on the board: lifted legs and removed parts. */
  readonly ledger: readonly LedgerEntry[];
  /** Parts that hold a new piece, as the evidence has them. */
  readonly replaced: readonly Replacement[];
  /** Standing events that do not fit the board; they are left out of everything above. */
  readonly problems: readonly Diagnostic[];
  readonly history: {
    readonly events: readonly JobEvent[];
    readonly undone: readonly UndoneEvent[];
    /** How many of those a `redo` would bring back. */
    readonly redoable: number;
  };
}

const NOTHING_YET: DerivedJob = {
  ...EMPTY_LOG,
  evidence: NO_EVIDENCE,
  growths: NO_GROWTH,
  active: [],
  ledger: [],
  replaced: [],
  problems: [],
  history: { events: [], undone: [], redoable: 0 },
};

/**
 * Replays a job. All numbers in it are those of {@link boardOf}.
 * @param board as its file has it; one that the job's statements are in already does as well
 * @param file name of the record, for the places of problems
 */
export function deriveJob(board: Board, events: readonly JobEvent[], file = 'job'): DerivedJob {
  const { standing, undone, redoable } = takeBack(events);
  // What was seen always was so: earlier readings are of the board with all of it.
  const growths = heldBy(board) ?? growthsIn(board, standing);
  const grown = withGrowths(board, growths);
  const growing = new Replaying();
  const derived = standing.reduce((job, event) => replay(grown, job, event, { file, growing }), {
    ...NOTHING_YET,
    growths,
  });
  return { ...derived, history: { events, undone, redoable } };
}

/** The board as the job has it: its file's, with what was seen put in. */
export function boardOf(board: Board, { growths }: Pick<DerivedJob, 'growths'>): Board {
  return withGrowths(board, growths);
}

/** The job after one more event; the same as deriving all of them anew. */
export function extendJob(
  board: Board,
  job: DerivedJob,
  event: JobEvent,
  file = 'job',
): DerivedJob {
  const events = [...job.history.events, event];
  if (revisionIn(event.say) !== undefined || mayBeGrowth(event.say)) {
    return deriveJob(board, events, file);
  }
  const grown = withGrowths(board, job.growths);
  return {
    ...replay(grown, job, event, { file, growing: COPYING }),
    history: { ...job.history, events, redoable: 0 },
  };
}

/**
 * Reads a line that is to be added to a job: it must fit the board, the board's state, and the
 * events there are to undo or to bring back.
 * @throws {InputError}
 */
export function admit(board: Board, job: DerivedJob, text: string, place?: SayPlace): Say {
  const say = parseSayUnder(withGrowths(board, job.growths), text, job.evidence, place);
  if (say.do !== 'undo' && say.do !== 'redo') return say;
  const { standing, redoable } = takeBack(job.history.events);
  const count = say.do === 'undo' ? standing.length : redoable;
  if (say.count <= count) return say;
  const what = say.do === 'undo' ? 'undone' : 'brought back';
  const message =
    count === 0 ? `there is nothing to ${say.do}` : `only ${count} events can be ${what}`;
  const code = say.do === 'undo' ? 'NOTHING_TO_UNDO' : 'NOTHING_TO_REDO';
  const hint =
    say.do === 'redo' ? 'a line said after an undo ends what can be brought back' : undefined;
  throw new InputError([problem(lineOf(text, place), splitWords(text), { code, message, hint })]);
}

function replay(
  board: Board,
  job: DerivedJob,
  event: JobEvent,
  { file, growing }: { readonly file: string; readonly growing: Growing },
): DerivedJob {
  const say = read(board, event, file, job.evidence);
  if (!('do' in say)) return { ...job, problems: [...job.problems, ...say.problems] };
  const { evidence } = job;
  const state = stateAfter(board, evidence.state, say);
  const said = { event: event.n, at: event.at };
  const upset = upsetBy(say, said);
  const learnt = upset
    ? afterUpset(evidence, upset)
    : learn(board, evidence, say, { id: event.n, state, growing });
  const { signOff: _signOff, ...kept } = job;
  return {
    ...kept,
    ...nextLog(job, say, said, growing),
    evidence: learnt,
    active: growing.add(job.active, { event, say }),
    ledger: nextLedger(board, job.ledger, say, event.n),
    replaced:
      learnt.replacedAt === evidence.replacedAt
        ? job.replaced
        : [...learnt.replacedAt].map(([part, since]) => ({ part, since })),
  };
}

/** Without the state's rules: what was recorded happened, whatever a later version would refuse. */
function read(
  board: Board,
  event: JobEvent,
  file: string,
  { injection }: Evidence,
): Say | { problems: Diagnostic[] } {
  const place = placeIn(event, file);
  try {
    return parseSayUnder(board, event.say, { injection }, place);
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    const told = (fault: Diagnostic): Diagnostic => ({
      ...fault,
      message: `event ${event.n}, "${event.say}", does not fit this board: ${fault.message}`,
    });
    return { problems: error.diagnostics.map(told) };
  }
}

function placeIn(event: JobEvent, file: string): SayPlace {
  return { file, line: event.line, text: event.say };
}

function learn(
  board: Board,
  before: Evidence,
  say: Say,
  {
    id,
    state,
    growing,
  }: { readonly id: number; readonly state: BoardState; readonly growing: Growing },
): Evidence {
  const evidence = withoutPassed(before, say);
  if (say.do === 'read') {
    const taken: TakenReading = { ...say.reading, id, state: evidence.state };
    return { ...evidence, readings: growing.add(evidence.readings, taken) };
  }
  if (say.do === 'look') {
    const { do: _, ...found } = say;
    const { lastInjection: injected } = evidence;
    const current = found.finding === 'warm' && injected !== undefined ? { injected } : {};
    const look: Look = { ...found, ...current, id, state: evidence.state };
    return { ...evidence, state, looks: growing.add(evidence.looks, look) };
  }
  if (say.do === 'inject') {
    const { do: _, ...injection } = say;
    return { ...evidence, injection, lastInjection: injection };
  }
  if (say.do === 'inject-off') {
    const { injection: _, ...off } = evidence;
    return off;
  }
  const told = learnHands(board, evidence, say);
  if (told !== evidence) return told;
  if (say.do === 'link') return withLinkAllAlong({ ...evidence, state }, say.nets);
  if (state === evidence.state) return evidence;
  const lastChange = changesBoard(say) ? id : evidence.lastChange;
  return { ...evidence, state, lastChange, replacedAt: replacedAt(evidence.replacedAt, say, id) };
}

/** A connection that the board file lacks was there when the earlier readings were taken. */
function withLinkAllAlong(evidence: Evidence, nets: readonly [number, number]): Evidence {
  const linked = new Map<BoardState, BoardState>([[evidence.state, evidence.state]]);
  const then = <T extends { readonly state: BoardState }>(one: T): T => {
    const state = linked.get(one.state) ?? withLink(one.state, ...nets);
    linked.set(one.state, state);
    return { ...one, state };
  };
  return { ...evidence, readings: evidence.readings.map(then), looks: evidence.looks.map(then) };
}

/** Nothing read before tells of the board as it is now; what was fitted and seen still does. */
function afterUpset(evidence: Evidence, upset: Upset): Evidence {
  const { passed: _passed, ...kept } = evidence;
  return { ...kept, readings: [], lastChange: upset.event };
}

function replacedAt(
  known: ReadonlyMap<number, number>,
  say: Say,
  id: number,
): ReadonlyMap<number, number> {
  if (say.do !== 'replace') return known;
  return new Map([...known, ...say.parts.map((part): [number, number] => [part, id])]);
}
