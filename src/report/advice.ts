import type { Board } from '../board/model.ts';
import { harmless } from '../board/shown-text.ts';
import type { Settling } from '../circuit/settling.ts';
import type { Advice, Step } from '../steps/step.ts';
import { type CurrentHint, currentHint } from './current-hint.ts';
import { holdLines } from './hold.ts';
import type { PastView } from './past.ts';
import { type PositionsView, positionsFor } from './positions.ts';
import { type StepView, viewStep } from './step-view.ts';
import type { Style } from './style.ts';
import { minutesText, percent, sentence } from './words.ts';
import { labelled } from './wrap.ts';

/** What to do next, in names: what is shown, and what `--json` prints. */
export interface AdviceView {
  readonly phase: Advice['phase'];
  readonly step: StepView;
  /** Bench minutes of this step. */
  readonly minutes: number;
  /** Expected bench minutes from here to a board proven clear. */
  readonly minutesLeft: number;
  readonly why: string;
  /** What past boards of this model say of the parts it is about. */
  readonly past?: PastView;
  readonly outcomes: Advice['outcomes'];
  readonly others: readonly {
    readonly step: StepView;
    readonly minutes: number;
    readonly why: string;
  }[];
  readonly open: readonly string[];
  /** What positions would buy here, where some are missing. */
  readonly positions?: PositionsView;
  /** That a current would tell suspects apart, where the meter has no four-wire range. */
  readonly current?: CurrentHint;
}

/**
 * @param settling what capacitors do to the reading of a step, where that is known
 * @param suspects parts that the explanations so far would renew
 * @param wantsCurrent the meter tells nothing along copper by itself, and no current is on
 */
export function viewAdvice(
  board: Board,
  advice: Advice,
  settling: (step: Step) => Settling | undefined = () => undefined,
  suspects: readonly number[] = [],
  wantsCurrent = false,
): AdviceView {
  const current = wantsCurrent ? currentHint(board, advice, suspects) : undefined;
  const positions = positionsFor(board, advice, suspects);
  return {
    phase: advice.phase,
    step: viewStep(board, advice.step, settling(advice.step)),
    minutes: advice.minutes,
    minutesLeft: advice.minutesLeft,
    why: harmless(advice.why),
    outcomes: advice.outcomes.map(({ answer, weight, means }) => ({
      answer,
      weight,
      means: harmless(means),
    })),
    others: advice.others.map(({ step, minutes, why }) => ({
      step: viewStep(board, step, settling(step)),
      minutes,
      why: harmless(why),
    })),
    open: advice.open.map(harmless),
    ...(positions === undefined ? {} : { positions }),
    ...(current === undefined ? {} : { current }),
  };
}

const INDENT = 7;

/** The whole advice as lines of text, the step itself first. */
export function adviceLines(view: AdviceView, style: Style): string[] {
  return [
    ...stepLines(view, style),
    ...whyLines(view, style),
    ...outcomeLines(view, style),
    ...otherLines(view, style),
    ...positionLines(view, style),
    ...openLines(view, style),
  ];
}

/** The step, where to find it, how long to hold the probes, and what it costs. */
export function stepLines(view: AdviceView, style: Style): string[] {
  const { palette, width } = style;
  const isDone = view.step.kind === 'done';
  const label = !isDone ? 'Next' : view.phase === 'clear' ? 'Done' : 'Stop';
  const head = labelled(label, view.step.text, INDENT, width);
  const where = view.step.where.flatMap((text) => labelled('', sentence(text), INDENT, width));
  if (view.step.kind === 'done') return head.map(palette.strong);
  const { hold } = view.step;
  const held = hold === undefined ? [] : holdLines(hold, INDENT, width);
  const cost = `${minutesText(view.minutes)}; about ${minutesText(view.minutesLeft)} to a board read clear.`;
  const costLines = labelled('', cost, INDENT, width);
  return [...head.map(palette.strong), ...where, ...held, ...costLines.map(palette.quiet)];
}

export function whyLines({ why, past }: AdviceView, style: Style): string[] {
  const before = past === undefined ? '' : `${sentence(past.text)}.`;
  const text = [why, before].filter((one) => one !== '').join(' ');
  return text === '' ? [] : labelled('Why', text, INDENT, style.width);
}

/** What each answer would mean, likeliest first. */
export function outcomeLines(view: AdviceView, style: Style): string[] {
  return view.outcomes.flatMap(({ answer, weight, means }) =>
    labelled('If', `${answer} (${percent(weight)}): ${means}`, INDENT, style.width),
  );
}

export function otherLines(view: AdviceView, style: Style): string[] {
  const lines = view.others.flatMap(({ step, minutes }) =>
    labelled('Or', `${step.text} (${minutesText(minutes)})`, INDENT, style.width),
  );
  return lines.map(style.palette.quiet);
}

/** Told once: what positions, or a current, would buy. */
export function positionLines({ positions, current }: AdviceView, style: Style): string[] {
  const block = (label: string, text: string): string[] =>
    labelled(label, sentence(text), INDENT, style.width).map(style.palette.quiet);
  return [
    ...(positions === undefined ? [] : block('Places', positions.text)),
    ...(current === undefined ? [] : block('Copper', current.text)),
  ];
}

/** What still stands between this board and clear. */
export function openLines(view: AdviceView, style: Style): string[] {
  if (view.open.length === 0) return [];
  const shown = view.open.slice(0, 6);
  const more =
    view.open.length > shown.length ? [`… and ${view.open.length - shown.length} more`] : [];
  const items = [...shown, ...more].flatMap((text) => labelled('-', text, 2, style.width));
  return ['Still open:', ...items];
}
