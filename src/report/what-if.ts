import type { Board } from '../board/model.ts';
import { harmless } from '../board/shown-text.ts';
import type { Outcome } from '../steps/step.ts';
import type { WhatIf } from '../steps/what-if.ts';
import { partName } from './names.ts';
import { viewStep } from './step-view.ts';
import type { Style } from './style.ts';
import { minutesText, percent } from './words.ts';
import { labelled, wrap } from './wrap.ts';

/** What lifting a part would lead to, in names. */
export interface WhatIfView {
  readonly part: string;
  readonly readings: readonly {
    readonly text: string;
    readonly minutes: number;
    readonly whole: number;
    readonly outcomes: readonly Outcome[];
  }[];
  readonly best: number;
}

/** What a lift would lead to, in names. */
export function viewWhatIf(board: Board, { part, readings, best }: WhatIf): WhatIfView {
  return {
    part: partName(board, part),
    best,
    readings: readings.map(({ step, minutes, whole, outcomes }) => ({
      text: viewStep(board, step).text,
      minutes,
      whole,
      outcomes: outcomes.map((one) => ({ ...one, means: harmless(one.means) })),
    })),
  };
}

const INDENT = 7;

/** What a lift would lead to, as lines of text. */
export function whatIfLines({ part, readings, best }: WhatIfView, style: Style): string[] {
  const { width, palette } = style;
  const head = palette.strong(`What if ${part} were out of circuit?`);
  if (readings.length === 0) {
    const text = `Lifting ${part} now would tell nothing: no reading after it would change what is suspected.`;
    return [head, '', ...wrap(text, width)];
  }
  const rows = readings.flatMap(({ text, minutes, whole, outcomes }) => {
    const more = whole - best;
    const beside =
      more < 0.05 ? 'no step leads there sooner' : `${minutesText(more)} later than the best step`;
    const cost = `${minutesText(minutes)} for this; about ${minutesText(whole)} until the culprit is found, ${beside}.`;
    return [
      '',
      ...wrap(text, width),
      ...outcomes.flatMap(({ answer, weight, means }) =>
        labelled('If', `${answer} (${percent(weight)}): ${means}`, INDENT, width),
      ),
      ...labelled('', cost, INDENT, width).map(palette.quiet),
    ];
  });
  return [head, ...rows, '', ...wrap('Nothing was recorded.', width).map(palette.quiet)];
}
