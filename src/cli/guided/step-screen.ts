import type { BoardState } from '../../circuit/state.ts';
import {
  type AdviceView,
  openLines,
  otherLines,
  outcomeLines,
  positionLines,
  stepLines,
  whyLines,
} from '../../report/advice.ts';
import { bigProbe } from '../../report/big-text.ts';
import { gateLines } from '../../report/gates.ts';
import { ledgerLine } from '../../report/ledger.ts';
import { probeOf } from '../../report/picture/step-rail.ts';
import {
  type StandingView,
  taskHead,
  taskList,
  taskWhy,
  warningLines,
} from '../../report/standing.ts';
import type { Style } from '../../report/style.ts';
import type { TaskView } from '../../report/task-told.ts';
import { whereProbe } from '../../report/where/view.ts';
import { minutesText } from '../../report/words.ts';
import { labelled, wrap } from '../../report/wrap.ts';
import { gatesOf } from '../engine.ts';
import { plannedParts } from '../planned-stage.ts';
import type { Study } from '../study.ts';
import type { Work } from '../work.ts';
import { type KeyChoice, keyHint } from './keys.ts';
import { type Block, headLine, layOut } from './screen.ts';

/** What the screen shows of a turn. */
export interface Shown {
  readonly study: Study;
  readonly standing: StandingView;
  readonly state: BoardState;
  readonly pick: number;
  readonly news: readonly string[];
  /** Set where the screen is read from the bench, hands on the probes. */
  readonly isFar?: boolean;
  /** Set once what positions, or a current, would buy has been told. */
  readonly isToldPlaces?: boolean;
}

/** The phases of the work as a person would name them. */
const PHASE_WORDS: Readonly<Record<AdviceView['phase'], string>> = {
  survey: 'cold survey',
  isolate: 'isolate the fault',
  repair: 'repair',
  prove: 'read it clear',
  clear: 'read clear',
};

/**
 * The screen of one step, the step itself at the top: at most `rows` less the prompt's own rows.
 * What does not fit is left out, least needed first.
 */
export function stepScreen(
  work: Work,
  shown: Shown,
  choices: readonly KeyChoice[],
  style: Style,
  rows: number,
): string[] {
  const ledger = ledgerLine(work.board, shown.state);
  const keys = wrap(keyHint(choices), style.width).map(style.palette.quiet);
  const around: Around = {
    ledger: ledger === '' ? [] : wrap(ledger, style.width).map(style.palette.warn),
    warnings: warningLines(shown.standing, style),
    news: shown.news.slice(0, 8),
    keys,
  };
  const { task } = shown.standing;
  const blocks =
    task === undefined
      ? stepBlocks(work, shown, around, style)
      : taskBlocks(work, shown.standing, task, around, style);
  return layOut(blocks, Math.max(6, rows - 2));
}

/** What stands round a step or task. */
interface Around {
  readonly ledger: readonly string[];
  readonly warnings: readonly string[];
  readonly news: readonly string[];
  readonly keys: readonly string[];
}

/** A task that is no step of the readings. */
function taskBlocks(
  work: Work,
  { stage }: StandingView,
  task: TaskView,
  { ledger, warnings, news, keys }: Around,
  style: Style,
): Block[] {
  const typed = task.lines.map((line) => `“${typedLine(task, line)}”`).join(', ');
  const gates = AFTER_READINGS.has(task.kind)
    ? gateLines(gatesOf(work.board, work.derived), style)
    : [];
  return [
    { rank: 0, lines: [headLine(work.label, stage, style)] },
    { rank: 0, lines: taskHead(task, style) },
    { rank: 2, lines: taskList(task, style) },
    ...(task.kind === 'power' ? stageBlocks(work, style) : []),
    { rank: 3, lines: ledger },
    { rank: 1, lines: warnings },
    { rank: 4, lines: taskWhy(task, style) },
    { rank: 5, lines: typed === '' ? [] : labelled('Or', `type ${typed}`, 7, style.width) },
    { rank: 6, lines: gates },
    { rank: 3, lines: news },
    { rank: 1, lines: keys },
  ];
}

/** Where a value is asked for, the value alone will do. */
function typedLine({ value }: TaskView, line: string): string {
  return value !== undefined && line.startsWith(`${value} `) ? line.slice(value.length + 1) : line;
}

/** Tasks that stand between the last reading and power. */
const AFTER_READINGS: ReadonlySet<string> = new Set([
  'tab reading',
  'isolation',
  'fasten',
  'touch-up',
  'power',
]);

function stepBlocks(
  work: Work,
  shown: Shown,
  { ledger, warnings, news, keys }: Around,
  style: Style,
): Block[] {
  const view = probed(work, shown, pickedView(shown));
  return [
    { rank: 0, lines: [headLine(work.label, PHASE_WORDS[view.phase], style)] },
    { rank: 0, lines: stepLines(view, style) },
    { rank: 2, lines: shown.isFar === true ? farLines(view, style) : [] },
    { rank: 3, lines: ledger },
    { rank: 1, lines: warnings },
    { rank: 4, lines: whyLines(view, style) },
    { rank: 5, lines: outcomeLines(view, style).slice(0, 8) },
    { rank: 7, lines: otherLines(view, style).slice(0, 4) },
    {
      rank: 6,
      lines: view.phase === 'clear' || view.outcomes.length === 0 ? openLines(view, style) : [],
    },
    { rank: 3, lines: shown.isToldPlaces === true ? [] : positionLines(view, style) },
    { rank: 6, lines: doneLines(work, view, style) },
    { rank: 2, lines: news },
    { rank: 1, lines: keys },
  ];
}

/** Under a reading, where both probes go; the nets' own places are among them. */
function probed(work: Work, shown: Shown, view: AdviceView): AdviceView {
  const { raw } = shown.study.advice();
  const step = raw.others[shown.pick - 1]?.step ?? raw.step;
  const probe = probeOf(step);
  if (probe === undefined) return view;
  const { spots } = whereProbe(work.board, probe, work.derived.evidence.unreachable);
  const texts = spots.map(({ probe: colour = '', text }) => `${colour} on ${text}`);
  const where = step.kind === 'read' ? texts : [...view.step.where, ...texts];
  return { ...view, step: { ...view.step, where } };
}

function farLines({ step: { probe } }: AdviceView, { width, palette }: Style): string[] {
  return probe === undefined ? [] : bigProbe(probe.red, probe.black, width).map(palette.strong);
}

/** At the end: what was read clear, and that this is not all. */
function doneLines(work: Work, view: AdviceView, style: Style): string[] {
  return view.step.kind === 'done' ? gateLines(gatesOf(work.board, work.derived), style) : [];
}

/** The advice with the step the person picked moved to the top. */
export function pickedView(shown: Pick<Shown, 'study' | 'pick'>): AdviceView {
  const { view } = shown.study.advice();
  const picked = view.others[shown.pick - 1];
  if (picked === undefined) return view;
  const best = `The best step would be: ${view.step.text} (${minutesText(view.minutes)})`;
  return {
    ...view,
    step: picked.step,
    minutes: picked.minutes,
    why: `${picked.why} ${best}`.trim(),
    outcomes: [],
    others: view.others.filter((other) => other !== picked),
  };
}

/** A stage of power-up: how to feed and set it stays longest, then what to read. */
function stageBlocks(work: Work, style: Style): Block[] {
  const { set, read, rest, seen } = plannedParts(work.board, work.derived, style);
  return [
    { rank: 1, lines: set },
    { rank: 2, lines: read },
    { rank: 4, lines: rest },
    { rank: 3, lines: seen },
  ];
}
