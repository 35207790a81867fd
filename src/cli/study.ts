import type { Board } from '../board/model.ts';
import type { Evidence } from '../faults/evidence.ts';
import { type AdviceView, viewAdvice } from '../report/advice.ts';
import { type DiagnosisView, viewDiagnosis } from '../report/diagnosis-view.ts';
import { viewPast } from '../report/past.ts';
import { type Analysis, advise, analyse, analysing } from '../steps/advise.ts';
import { holdFor } from '../steps/hold.ts';
import type { Advice } from '../steps/step.ts';
import { atLength, inTurns } from './at-length.ts';
import type { Context } from './context.ts';
import { workbenchFor } from './engine.ts';
import { saySentence } from './print.ts';

/** What the evidence says of a board and what to do next, as data and in names. */
export interface Study {
  readonly analysis: Analysis;
  /** Said when the weighing was stopped before its end. */
  readonly stopped: string | undefined;
  /** Worked out when first asked for. */
  readonly diagnosis: DiagnosisView;
  /** Worked out when first asked for. */
  readonly advice: () => { readonly raw: Advice; readonly view: AdviceView };
}

export function study(board: Board, evidence: Evidence): Study {
  return studyOf(board, evidence, analyse(workbenchFor(board), evidence));
}

/** The same where a person waits: shows progress, and Ctrl-C asks for the best answer so far. */
export async function studyAtLength(
  context: Context,
  board: Board,
  evidence: Evidence,
): Promise<Study> {
  return studyOf(
    board,
    evidence,
    await atLength(context, analysing(workbenchFor(board), evidence)),
  );
}

/** The same among other work of this process. */
export async function studyInTurns(board: Board, evidence: Evidence): Promise<Study> {
  return studyOf(board, evidence, await inTurns(analysing(workbenchFor(board), evidence)));
}

/** The same, and says on stderr when it was stopped. */
export async function studyAloud(
  context: Context,
  board: Board,
  evidence: Evidence,
): Promise<Study> {
  const known = await studyAtLength(context, board, evidence);
  if (known.stopped !== undefined) await saySentence(context, known.stopped);
  return known;
}

/** What is to be said of an answer that somebody did not wait for. */
function stoppedSentence({ isStopped, leftOut }: Analysis['beliefs']): string | undefined {
  if (!isStopped) return undefined;
  const share = `${Math.round(100 * leftOut)} %`;
  return `Stopped early: the best answer so far. Fault sets with up to ${share} of the weight were not looked at.`;
}

function studyOf(board: Board, evidence: Evidence, analysis: Analysis): Study {
  const workbench = workbenchFor(board);
  let held: { readonly raw: Advice; readonly view: AdviceView } | undefined;
  let diagnosis: DiagnosisView | undefined;
  return {
    analysis,
    stopped: stoppedSentence(analysis.beliefs),
    get diagnosis() {
      diagnosis ??= viewDiagnosis(board, evidence, analysis.diagnosis);
      return diagnosis;
    },
    advice: () => {
      if (held === undefined) {
        const raw = advise(analysis);
        const suspects = suspectsOf(analysis);
        const view = viewAdvice(
          board,
          raw,
          (step) => holdFor(workbench, evidence.state, step),
          suspects,
          evidence.injection === undefined &&
            workbench.bench.meter.drives['four-wire'] === undefined,
        );
        const past = viewPast(analysis, raw.step, suspects);
        held = { raw, view: past === undefined ? view : { ...view, past } };
      }
      return held;
    },
  };
}

/** Parts that some explanation would renew. */
function suspectsOf({ hypotheses }: Analysis): number[] {
  return hypotheses.flatMap(({ units }) => units.flatMap(({ parts }) => parts));
}
