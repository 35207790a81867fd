import type { Board } from '../board/model.ts';
import type { Probe } from '../circuit/reading.ts';
import { netPairKey } from '../circuit/state.ts';
import type { Learnt } from '../faults/learnt.ts';
import type { Analysis } from '../steps/advise.ts';
import type { Step } from '../steps/step.ts';
import type { Survey } from '../steps/survey.ts';
import { partName } from './names.ts';
import { listOf } from './words.ts';

/** What past boards of the same model say of the parts that a step is about. */
export interface PastView {
  /** How many boards were looked back on. */
  readonly boards: number;
  /** Often failed first. */
  readonly parts: readonly { readonly part: string; readonly failed: number }[];
  readonly text: string;
}

/** More than this nobody remembers. */
const MOST_PARTS = 3;

/**
 * Of the parts that a step is about: those it names, else those its reading speaks for.
 * @param suspects parts that the explanations so far would renew
 */
export function viewPast(
  { workbench, survey }: Analysis,
  step: Step,
  suspects: readonly number[],
): PastView | undefined {
  const { board, bench } = workbench;
  const past = bench.settings.learnt?.past;
  if (past === undefined || past.failed.size === 0) return undefined;
  return pastOf(board, past, partsIn(step) ?? partsRead(step, survey, suspects));
}

/** A survey reading speaks for parts of its own, one that isolates for the suspects. */
function partsRead(
  step: Step,
  { readings }: Survey,
  suspects: readonly number[],
): readonly number[] {
  if (step.kind !== 'read' || step.purpose === 'prove') return [];
  if (step.purpose !== 'survey') return suspects;
  const nets = ({ red, black }: Probe): string => netPairKey(red.net, black.net);
  return readings.find(({ probe }) => nets(probe) === nets(step.probe))?.parts ?? [];
}

function partsIn(step: Step): readonly number[] | undefined {
  if (step.kind === 'lift' || step.kind === 'look') return [step.part];
  return 'parts' in step ? step.parts : undefined;
}

function pastOf(
  board: Board,
  { boards, failed }: Learnt['past'],
  numbers: readonly number[],
): PastView | undefined {
  const known = [...new Set(numbers)].flatMap((number) => {
    const count = failed.get(board.parts[number]?.name ?? '') ?? 0;
    return count === 0 ? [] : [{ part: partName(board, number), failed: count }];
  });
  const parts = known.sort((x, y) => y.failed - x.failed).slice(0, MOST_PARTS);
  const [first, ...others] = parts;
  if (first === undefined) return undefined;
  const more = others.map(({ part, failed: count }) => `${part} on ${count}`);
  const text = `${first.part} failed on ${first.failed} of the last ${boards} of this board`;
  return { boards, parts, text: more.length === 0 ? text : `${text}, ${listOf(more)}` };
}

/** `failed on 12 of the last 40`; nothing where it never did. */
export function failedBefore(
  past: { readonly failed: number; readonly boards: number } | undefined,
): string[] {
  return past === undefined ? [] : [`failed on ${past.failed} of the last ${past.boards}`];
}
