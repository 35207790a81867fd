import type { BoardState } from '../../circuit/state.ts';
import {
  type AdviceView,
  openLines,
  otherLines,
  outcomeLines,
  stepLines,
  whyLines,
} from '../../report/advice.ts';
import { gateLines } from '../../report/gates.ts';
import { ledgerLine } from '../../report/ledger.ts';
import type { Style } from '../../report/style.ts';
import { minutesText } from '../../report/words.ts';
import { wrap } from '../../report/wrap.ts';
import { gatesOf } from '../engine.ts';
import type { Study } from '../study.ts';
import type { Work } from '../work.ts';
import { type KeyChoice, keyHint } from './keys.ts';
import { type Block, headLine, layOut } from './screen.ts';

/** What the screen shows of a turn. */
export interface Shown {
  readonly study: Study;
  readonly state: BoardState;
  readonly pick: number;
  readonly news: readonly string[];
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
  const view = pickedView(shown);
  const ledger = ledgerLine(work.board, shown.state);
  const keys = wrap(keyHint(choices), style.width).map(style.palette.quiet);
  const blocks: Block[] = [
    { rank: 0, lines: [headLine(work.label, PHASE_WORDS[view.phase], style)] },
    { rank: 0, lines: stepLines(view, style) },
    { rank: 3, lines: ledger === '' ? [] : wrap(ledger, style.width).map(style.palette.warn) },
    { rank: 4, lines: whyLines(view, style) },
    { rank: 5, lines: outcomeLines(view, style).slice(0, 8) },
    { rank: 7, lines: otherLines(view, style).slice(0, 4) },
    {
      rank: 6,
      lines: view.phase === 'clear' || view.outcomes.length === 0 ? openLines(view, style) : [],
    },
    { rank: 6, lines: doneLines(work, view, style) },
    { rank: 2, lines: shown.news.slice(0, 8) },
    { rank: 1, lines: keys },
  ];
  return layOut(blocks, Math.max(6, rows - 2));
}

/** At the end: what was read clear, and that this is not all. */
function doneLines(work: Work, view: AdviceView, style: Style): string[] {
  return view.step.kind === 'done' ? gateLines(gatesOf(work.board, work.derived), style) : [];
}

/** The advice with the step the person picked moved to the top. */
function pickedView(shown: Shown): AdviceView {
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
