/** The one thing that comes next, as another program reads it: what to do, where, and what it would tell. */
import type { Board } from '../board/model.ts';
import type { MeterMode } from '../circuit/reading.ts';
import type { WorkStage } from '../job/stage-of.ts';
import type { Advice } from '../steps/step.ts';
import type { AdviceView } from './advice.ts';
import type { HoldView } from './hold.ts';
import { type NextView, type StandingView, viewNext } from './standing.ts';
import { type ProbeView, viewProbe } from './step-view.ts';
import type { TaskView } from './task-told.ts';

/** What the hands do next. */
export const CALL_KINDS = [
  'read',
  'prove',
  'lift',
  'remove',
  'refit',
  'replace',
  'reflow',
  'look',
  'intake',
  'residual',
  'discharge',
  'injection',
  'isolation',
  'fasten',
  'power-up',
  'function',
  'soak',
  'sign-off',
  'done',
] as const;

export type CallKind = (typeof CALL_KINDS)[number];

export interface CallView {
  /** `prove` is a reading that shows a repaired board clear; `done` leaves nothing to do. */
  readonly kind: CallKind;
  readonly stage: WorkStage;
  readonly phase: Advice['phase'];
  readonly text: string;
  readonly why: string;
  /** Red and black point, where it is a reading; a pin's own name when a part is read off the board. */
  readonly points: readonly string[];
  /** Absent for a voltage left, a tab, and what is no reading. */
  readonly mode?: MeterMode;
  /** The part, when it is read off the board on its own legs. */
  readonly off?: string;
  /** The reading to take right after a lift or a removal. */
  readonly then?: { readonly points: readonly string[]; readonly mode: MeterMode };
  readonly parts: readonly string[];
  readonly pins: readonly string[];
  readonly nets: readonly string[];
  /** Bench minutes of this step, and from here to a board read clear. */
  readonly minutes: number;
  readonly minutesLeft: number;
  /** What may be found, and what it would mean. */
  readonly outcomes: AdviceView['outcomes'];
  /** Where to find what the step is about. */
  readonly where: readonly string[];
  /** What the task is about, the most important first. */
  readonly list: readonly string[];
  /** Answers with a key of their own, and the lines each records. */
  readonly answers: NextView['answers'];
  /** The line that a value, or a finding, completes. */
  readonly value?: string;
  readonly hold?: HoldView;
  /** Other steps worth the time, the next best first. */
  readonly others: readonly {
    readonly text: string;
    readonly minutes: number;
    readonly why: string;
  }[];
  /** What still stands between this board and clear. */
  readonly open: readonly string[];
}

const OF_TASK: Readonly<Record<TaskView['kind'], CallKind>> = {
  intake: 'intake',
  'look-over': 'look',
  residual: 'residual',
  discharge: 'discharge',
  injection: 'injection',
  renew: 'replace',
  'tab reading': 'read',
  isolation: 'isolation',
  fasten: 'fasten',
  'touch-up': 'look',
  power: 'power-up',
  function: 'function',
  'soak start': 'soak',
  soak: 'soak',
  'sign-off': 'sign-off',
  'signed off': 'done',
};

/** @param raw the advice that `advice` puts in names */
export function viewCall(
  board: Board,
  standing: StandingView,
  raw: Advice,
  advice: AdviceView,
): CallView {
  const next = viewNext(standing, advice);
  const { task, stage } = standing;
  const common = {
    kind: task === undefined ? kindOf(raw.step) : OF_TASK[task.kind],
    stage,
    phase: advice.phase,
    text: next.text,
    why: next.why,
    minutesLeft: advice.minutesLeft,
    list: next.list,
    answers: next.answers,
    open: advice.open,
  };
  const own = task === undefined ? ofStep(board, raw, advice) : ofTask(task);
  return { ...common, ...NOTHING, ...own };
}

const NOTHING = {
  points: [],
  parts: [],
  pins: [],
  nets: [],
  minutes: 0,
  outcomes: [],
  where: [],
  others: [],
} as const;

function ofTask({ points, parts, value }: TaskView): Partial<CallView> {
  return {
    ...(points === undefined ? {} : { points }),
    ...(parts === undefined ? {} : { parts }),
    ...(value === undefined ? {} : { value }),
  };
}

function ofStep(
  board: Board,
  { step: raw }: Advice,
  { step, minutes, outcomes, others }: AdviceView,
): Partial<CallView> {
  const { probe, parts = [], pins = [], nets = [], where, hold, say } = step;
  const isOpen = raw.kind === 'read' || raw.kind === 'look' || raw.kind === 'inspect';
  return {
    minutes,
    outcomes,
    parts,
    pins,
    nets,
    where,
    others: others.map(({ step, minutes, why }) => ({ text: step.text, minutes, why })),
    ...(probe === undefined ? {} : pointsOf(probe)),
    ...(probe?.off === undefined ? {} : { off: probe.off }),
    ...('then' in raw ? { then: pointsOf(viewProbe(board, raw.then)) } : {}),
    ...(isOpen && say !== undefined ? { value: say } : {}),
    ...(hold === undefined ? {} : { hold }),
  };
}

function pointsOf({ red, black, mode }: ProbeView): { points: string[]; mode: MeterMode } {
  return { points: [red, black], mode };
}

function kindOf(step: Advice['step']): CallKind {
  if (step.kind === 'inspect') return 'look';
  return step.kind === 'read' && step.purpose === 'prove' ? 'prove' : step.kind;
}
