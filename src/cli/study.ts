import type { Board } from '../board/model.ts';
import type { Evidence } from '../faults/evidence.ts';
import { type AdviceView, viewAdvice } from '../report/advice.ts';
import { type DiagnosisView, viewDiagnosis } from '../report/diagnosis-view.ts';
import { type Analysis, advise, analyse } from '../steps/advise.ts';
import { holdFor } from '../steps/hold.ts';
import type { Advice } from '../steps/step.ts';
import { workbenchFor } from './engine.ts';

/** What the evidence says of a board and what to do next, as data and in names. */
export interface Study {
  readonly analysis: Analysis;
  /** Worked out when first asked for. */
  readonly diagnosis: DiagnosisView;
  /** Worked out when first asked for. */
  readonly advice: () => { readonly raw: Advice; readonly view: AdviceView };
}

export function study(board: Board, evidence: Evidence): Study {
  const workbench = workbenchFor(board);
  const analysis = analyse(workbench, evidence);
  let held: { readonly raw: Advice; readonly view: AdviceView } | undefined;
  let diagnosis: DiagnosisView | undefined;
  return {
    analysis,
    get diagnosis() {
      diagnosis ??= viewDiagnosis(board, evidence, analysis.diagnosis);
      return diagnosis;
    },
    advice: () => {
      if (held === undefined) {
        const raw = advise(analysis);
        held = {
          raw,
          view: viewAdvice(board, raw, (step) => holdFor(workbench, evidence.state, step)),
        };
      }
      return held;
    },
  };
}
