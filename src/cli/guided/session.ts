import { InputError } from '../../board/diagnostic.ts';
import type { BoardState } from '../../circuit/state.ts';
import { changeLines, viewChange } from '../../report/change.ts';
import type { Style } from '../../report/style.ts';
import type { Advice, Step } from '../../steps/step.ts';
import { type Context, styleFor } from '../context.ts';
import { type Study, study } from '../study.ts';
import type { Work } from '../work.ts';
import { askKey, type KeyAnswer } from './key-prompt.ts';
import type { KeyAction, KeyChoice } from './keys.ts';
import { keyHint } from './keys.ts';
import { showPages } from './pager.ts';
import { helpLines, whyScreen } from './pages.ts';
import type { Player } from './player.ts';
import { clearScreen } from './screen.ts';
import { stepScreen } from './step-screen.ts';

/** Where a session stands between two prompts. */
interface Turn {
  readonly study: Study;
  readonly state: BoardState;
  /** Which of the steps on offer is shown: 0 the best, then the others. */
  readonly pick: number;
  /** What came of the last answer. */
  readonly news: readonly string[];
  /** A line that was refused, to be mended. */
  readonly mend?: string;
}

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
): Promise<{ readonly minutes: number }> {
  tellWorking(context);
  let turn = freshTurn(work, []);
  let minutes = 0;
  for (;;) {
    const style = await styleFor(context, context.stderr);
    const step = stepOf(turn);
    const answer = await ask(context, work, player, turn, style);
    const action = actionOf(answer, player, step);
    const cost = minutesOf(turn);
    const before = work.derived;
    if (action === 'line' || changesRecord(action)) tellWorking(context);
    if (action === 'line') turn = recordTyped(work, player, turn, answer, style);
    else if (action.do === 'leave') return { minutes };
    else if (action.do === 'record') turn = recordLines(work, turn, action.lines, style);
    else if (action.do === 'act')
      turn = recordLines(work, turn, player.act(step, turn.state), style);
    else if (action.do === 'undo') turn = recordLines(work, turn, ['undo'], style);
    else if (action.do === 'other') turn = { ...withoutMend(turn), pick: nextPick(turn), news: [] };
    else await showPage(context, work, player, turn, action.do, style);
    if (work.derived.active.length > before.active.length) minutes += cost;
  }
}

function changesRecord(action: KeyAction): boolean {
  return action.do === 'record' || action.do === 'act' || action.do === 'undo';
}

/** On a large board the next step takes a moment; the screen that follows wipes this away. */
function tellWorking({ stderr, env }: Context): void {
  if (stderr.isTTY && env.TERM !== 'dumb') stderr.write('Working out the next step …');
}

/** What the step shown costs. */
function minutesOf(turn: Turn): number {
  const { raw } = turn.study.advice();
  return raw.others[turn.pick - 1]?.minutes ?? raw.minutes;
}

/** The step shown: the best one, or another the person asked for. */
export function stepOf(turn: Turn): Step {
  const { raw } = turn.study.advice();
  return raw.others[turn.pick - 1]?.step ?? raw.step;
}

function freshTurn(work: Work, news: readonly string[]): Turn {
  const { evidence } = work.derived;
  return { study: study(work.board, evidence), state: evidence.state, pick: 0, news };
}

async function ask(
  context: Context,
  work: Work,
  player: Player,
  turn: Turn,
  style: Style,
): Promise<KeyAnswer> {
  const { stdin: input, stderr: output, env } = context;
  const choices = choicesOf(turn, player);
  const rows = output.rows ?? 24;
  clearScreen(output, env);
  const lines = stepScreen(work, turn, choices, style, rows);
  output.write(`${lines.join('\n')}\n`);
  const question = {
    message: style.palette.strong('>'),
    keys: new Set(choices.map(({ key }) => key).filter((key) => key.length === 1)),
    hint: '',
    ...(turn.mend === undefined ? {} : { initial: turn.mend }),
  };
  return await askKey(question, { input, output });
}

/** The keys of the step shown; another step is offered only where there is one. */
function choicesOf(turn: Turn, player: Player): KeyChoice[] {
  const hasOthers = turn.study.advice().raw.others.length > 0;
  return player.keys(stepOf(turn)).filter(({ action }) => hasOthers || action.do !== 'other');
}

/** What an answer asks for; `line` when it is text to be recorded. */
function actionOf(answer: KeyAnswer, player: Player, step: Step): KeyAction | 'line' {
  const key = answer.kind === 'key' ? answer.key : answer.text === '' ? 'Enter' : undefined;
  if (key === undefined) return 'line';
  const choice = player.keys(step).find((each) => each.key === key);
  return choice?.action ?? { do: 'record', lines: [] };
}

function recordTyped(
  work: Work,
  player: Player,
  turn: Turn,
  answer: KeyAnswer,
  style: Style,
): Turn {
  const text = answer.kind === 'line' ? answer.text : answer.key;
  try {
    const lines = player.linesFor(text, stepOf(turn), turn.state);
    return recordLines(work, turn, lines, style, text);
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    return refused(turn, error, style, text);
  }
}

/** Records, and turns to the next step; lines that are refused leave everything as it was. */
function recordLines(
  work: Work,
  turn: Turn,
  lines: readonly string[],
  style: Style,
  typed?: string,
): Turn {
  if (lines.length === 0) return turn;
  try {
    const recorded = work.record(lines);
    const next = freshTurn(work, []);
    const change = viewChange(recorded, turn.study.diagnosis, next.study.diagnosis);
    return { ...next, news: changeLines(change, style) };
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    return refused(turn, error, style, typed);
  }
}

function refused(turn: Turn, error: InputError, style: Style, mend?: string): Turn {
  const news = error.diagnostics.slice(0, 3).flatMap(({ message, hint }) => {
    const lines = [`Not recorded: ${message}`];
    return hint === undefined ? lines : [...lines, `  ${hint}`];
  });
  const plain = { ...withoutMend(turn), news: news.map(style.palette.bad) };
  return mend === undefined ? plain : { ...plain, mend };
}

function withoutMend(turn: Turn): Turn {
  const { mend: _mend, ...rest } = turn;
  return rest;
}

function nextPick(turn: Turn): number {
  const { raw }: { readonly raw: Advice } = turn.study.advice();
  return (turn.pick + 1) % (raw.others.length + 1);
}

async function showPage(
  context: Context,
  work: Work,
  player: Player,
  turn: Turn,
  page: 'why' | 'help',
  style: Style,
): Promise<void> {
  const step = stepOf(turn);
  const lines =
    page === 'why'
      ? whyScreen(work, turn.study, step, style)
      : helpLines(keyHint(player.keys(step)), style);
  await showPages(context, lines, 'Enter: back to the step');
}
