import type { MeterFeed } from '../../bench/meter/feed.ts';
import type { Style } from '../../report/style.ts';
import { type Context, isPlain, styleFor } from '../context.ts';
import { shopOf } from '../engine.ts';
import { wrapped } from '../listening/wrapped.ts';
import { wholePlan } from '../planned-stage.ts';
import { shownLines } from '../shown.ts';
import { type Sounder, sounderFor } from '../sound.ts';
import type { Work } from '../work.ts';
import { BACK, type Beside, passedLine, showFound, showWhatIf, unreachableLine } from './asides.ts';
import { askAt } from './ask.ts';
import type { KeyAnswer } from './key-prompt.ts';
import { type Aside, type KeyAction, type KeyChoice, TAKE_NOW, unitKeys } from './keys.ts';
import type { MeterAtHand } from './meter-at-hand.ts';
import { showPages } from './pager.ts';
import { hasMap, hasWhere, helpLines, mapScreen, whereScreen, whyScreen } from './pages.ts';
import { type Player, taskLine } from './player.ts';
import { clearScreen } from './screen.ts';
import { soundOf } from './sound-of.ts';
import { pickedView, stepScreen } from './step-screen.ts';
import {
  freshTurn,
  hasOtherSteps,
  minutesOf,
  stepOf,
  type Turn,
  turnAfter,
  withOtherStep,
} from './turn.ts';

/** What stays the same from prompt to prompt. */
interface Session {
  readonly context: Context;
  readonly work: Work;
  readonly player: Player;
  readonly meter: MeterAtHand | undefined;
  readonly sounder: Sounder;
  /** Whether it was told what positions, or a current, would buy; once is enough. */
  isToldPlaces: boolean;
}

/** What an answer asks for: what a key does, or a typed line to be recorded. */
type Wish =
  | KeyAction
  | { readonly do: 'line'; readonly text: string }
  | { readonly do: 'redraw'; readonly typed: string };

/**
 * Leads a person through a job, step by step, until it is left. Every answer is recorded before
 * the next prompt shows.
 * @returns the bench minutes of the steps done, by the table of step costs
 * @throws {ExitPromptError} on Ctrl-C; what was recorded is kept
 */
export async function runSession(
  context: Context,
  work: Work,
  player: Player,
  feed?: MeterFeed,
): Promise<{ readonly minutes: number }> {
  const sounder = sounderFor(context, shopOf(work.board));
  const meter = await meterAt(feed, sounder);
  const session: Session = { context, work, player, meter, sounder, isToldPlaces: false };
  tellWorking(context);
  let turn = await freshTurn(context, work);
  let minutes = 0;
  for (;;) {
    const style = await styleFor(context, context.stderr);
    const wish = wishIn(await ask(session, turn, style), choicesOf(session, turn));
    if (wish.do === 'leave') return { minutes };
    const count = work.derived.active.length;
    const cost = minutesOf(turn);
    const before = turn;
    turn = await follow(session, turn, wish, style);
    const sound = soundOf(before, turn);
    if (sound !== undefined) sounder.play(sound);
    if (work.derived.active.length > count) minutes += cost;
  }
}

/** Does what was wished for; gives the turn to show next. */
async function follow(session: Session, turn: Turn, wish: Wish, style: Style): Promise<Turn> {
  const { context, work, player } = session;
  const step = stepOf(turn);
  switch (wish.do) {
    case 'line':
      tellWorking(context);
      return await turnAfter(
        context,
        work,
        turn,
        style,
        () => linesOf(turn, player, wish.text),
        wish.text,
      );
    case 'record': {
      tellWorking(context);
      const after = await turnAfter(context, work, turn, style, () => wish.lines);
      return wish.told === undefined ? after : { ...after, news: [wish.told, ...after.news] };
    }
    case 'take':
      tellWorking(context);
      return await turnAfter(
        context,
        work,
        turn,
        style,
        () => session.meter?.lineNow(work, turn) ?? [],
      );
    case 'act':
      tellWorking(context);
      return await turnAfter(context, work, turn, style, () => player.act(step, turn.state));
    case 'watch': {
      const { watchOpenSoak } = await import('../soak/desk.ts');
      await watchOpenSoak(context, work);
      return await freshTurn(context, work);
    }
    case 'undo':
      tellWorking(context);
      return await turnAfter(context, work, turn, style, () => ['undo']);
    case 'redo':
      tellWorking(context);
      return await turnAfter(context, work, turn, style, () => ['redo']);
    case 'redraw':
      return wish.typed === '' ? turn : { ...turn, mend: wish.typed };
    case 'other':
      return withOtherStep(turn);
    case 'why':
      await showPages(context, (now) => whyPages(work, turn, now), BACK);
      return turn;
    case 'map':
      await showPages(context, (now) => mapScreen(work, turn.study, step, now) ?? [], BACK);
      return turn;
    case 'where':
      await showPages(context, (now) => whereScreen(work, step, now), BACK);
      return turn;
    case 'help':
      await showPages(context, (now) => helpLines(choicesOf(session, turn), now), BACK);
      return turn;
    case 'leave':
      return turn;
    default:
      return await followAside(session, turn, wish.do, style);
  }
}

async function followAside(
  { context, work }: Session,
  turn: Turn,
  aside: Aside,
  style: Style,
): Promise<Turn> {
  const step = stepOf(turn);
  const beside: Beside = { context, work, study: turn.study, step, view: pickedView(turn) };
  if (aside === 'find' || aside === 'what if') {
    await (aside === 'find' ? showFound(beside) : showWhatIf(beside));
    return turn;
  }
  const lines = await (aside === 'pass' ? passedLine(beside) : unreachableLine(beside));
  if (lines.length === 0) return turn;
  tellWorking(context);
  return await turnAfter(context, work, turn, style, () => lines, lines[0]);
}

/** What explains the step; at a stage of power-up that is the plan as a whole. */
function whyPages(work: Work, turn: Turn, style: Style): string[] {
  if (turn.standing.task?.kind !== 'power') {
    return whyScreen(work, turn.study, stepOf(turn), style);
  }
  return wholePlan(work.board, work.derived, work.label, style);
}

/** What the meter shows, and what to do, stands below the prompt in up to so many rows. */
const NOTE_ROWS = 3;

async function ask(session: Session, turn: Turn, style: Style): Promise<KeyAnswer> {
  const { stderr: output } = session.context;
  const choices = choicesOf(session, turn);
  clearScreen(session.context);
  const isFar = session.meter?.probeAt(turn) !== undefined && !isPlain(session.context);
  const shown = { ...turn, isFar, isToldPlaces: session.isToldPlaces };
  const rows = (output.rows ?? 24) - (isFar ? NOTE_ROWS : 0);
  const lines = stepScreen(session.work, shown, choices, style, rows);
  if (turn.standing.task === undefined) {
    const { positions, current } = turn.study.advice().view;
    session.isToldPlaces ||= positions !== undefined || current !== undefined;
  }
  output.write(`${shownLines(session.context, output, lines)}\n`);
  const live = session.meter?.liveAt(session.work, turn);
  const question = {
    message: style.palette.strong('>'),
    keys: new Set(choices.map(({ key }) => key).filter((key) => key.length === 1)),
    hint: '',
    ...(turn.mend === undefined ? {} : { initial: turn.mend }),
    ...unitsOf(turn),
    ...(live === undefined ? {} : { live: wrapped(live, style) }),
  };
  return await askAt(session.context, question);
}

/** What ends a figure at the reading asked for. */
function unitsOf(turn: Turn): { readonly units?: ReadonlyMap<string, string> } {
  const step = stepOf(turn);
  const { task } = turn.standing;
  if (task?.value !== undefined)
    return { units: task.value.startsWith('isolation') ? OHMS : VOLTS };
  if (task !== undefined) return {};
  return step.kind === 'read' ? { units: unitKeys(step.probe.mode) } : {};
}

const VOLTS = unitKeys('diode');
const OHMS = unitKeys('ohms');

/** The code for a meter that answers by itself is read only where there is one. */
async function meterAt(
  feed: MeterFeed | undefined,
  sounder: Sounder,
): Promise<MeterAtHand | undefined> {
  if (feed === undefined) return undefined;
  const { MeterAtHand } = await import('./meter-at-hand.ts');
  return new MeterAtHand(feed, () => sounder.play('attention'));
}

/** The keys of the step shown; another step and a map are offered only where there is one. */
function choicesOf({ work, player, meter }: Session, turn: Turn): KeyChoice[] {
  const { task } = turn.standing;
  const step = stepOf(turn);
  const answers = task === undefined ? player.keys(step) : player.taskKeys(task);
  const choices = meter?.probeAt(turn) === undefined ? answers : [TAKE_NOW, ...answers];
  const mapped = task === undefined && hasMap(work, step);
  const has: Partial<Record<KeyAction['do'], boolean>> = {
    other: hasOtherSteps(turn),
    map: mapped,
    where: task === undefined && hasWhere(step),
    redo: work.derived.history.redoable > 0,
    pass: task === undefined && step.kind !== 'done',
    unreachable: task === undefined && step.kind !== 'done',
    'what if': task === undefined,
  };
  return choices.filter(({ action }) => has[action.do] ?? true);
}

/** What a typed line records: a value alone completes what is asked for. */
function linesOf(turn: Turn, player: Player, text: string): string[] {
  const { task } = turn.standing;
  if (task === undefined) return player.linesFor(text, stepOf(turn), turn.now);
  const line = taskLine(task, text);
  return line === text ? player.linesFor(text, { kind: 'done' }, turn.now) : [line];
}

function wishIn(answer: KeyAnswer, choices: readonly KeyChoice[]): Wish {
  if (answer.kind === 'closed') return { do: 'leave' };
  if (answer.kind === 'redraw') return { do: 'redraw', typed: answer.typed };
  if (answer.kind === 'heard') return { ...answer, do: 'record' };
  if (answer.kind === 'line' && answer.text !== '') return { do: 'line', text: answer.text };
  const key = answer.kind === 'key' ? answer.key : 'Enter';
  const choice = choices.find((each) => each.key === key);
  return choice?.action ?? { do: 'record', lines: [] };
}

/** On a large board the next step takes a moment; the screen that follows wipes this away. */
function tellWorking(context: Context): void {
  const { stderr } = context;
  if (stderr.isTTY && !isPlain(context)) stderr.write('Working out the next step …');
}
