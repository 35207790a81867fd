/** Things asked beside the step, which stays at the top of the screen meanwhile. */
import { printTarget } from '../../job/print-say.ts';
import { type AdviceView, stepLines } from '../../report/advice.ts';
import { partLines, viewPart } from '../../report/explain.ts';
import { netLines } from '../../report/name-pages.ts';
import { netName } from '../../report/names.ts';
import { probeOf } from '../../report/picture/step-rail.ts';
import type { Style } from '../../report/style.ts';
import { viewWhatIf, whatIfLines } from '../../report/what-if.ts';
import { whereLines } from '../../report/where/lines.ts';
import { wherePart, wherePoint, whereProbe } from '../../report/where/view.ts';
import { labelled } from '../../report/wrap.ts';
import { explainPart } from '../../steps/explain-part.ts';
import { insteadOf } from '../../steps/instead.ts';
import type { Step } from '../../steps/step.ts';
import { whatIf } from '../../steps/what-if.ts';
import { type Context, styleFor } from '../context.ts';
import { shownLines } from '../shown.ts';
import type { Study } from '../study.ts';
import type { Work } from '../work.ts';
import { askAt } from './ask.ts';
import { findName } from './find.ts';
import { showPages } from './pager.ts';
import { clearScreen } from './screen.ts';

/** The step at hand and all that an aside is about. */
export interface Beside {
  readonly context: Context;
  readonly work: Work;
  readonly study: Study;
  readonly step: Step;
  /** The same in names. */
  readonly view: AdviceView;
}

/** A choice by one key, with the line it ends up in. */
interface Choice {
  readonly label: string;
  readonly value: string;
}

const REASONS: readonly Choice[] = [
  'no room for the probes',
  'the tool for it is not at hand',
  'later',
].map((label) => ({ label, value: label }));

/** Asks why the step is passed over; the line to record, none when the person went back. */
export async function passedLine(beside: Beside): Promise<string[]> {
  const { work, step } = beside;
  if (step.kind === 'done') return [];
  const title = 'Pass this step over for now. Why?';
  const reason = await choose(beside, title, 'or type why', REASONS);
  return reason === undefined ? [] : [`pass ${printTarget(work.board, step)} because ${reason}`];
}

/** Asks what probes cannot reach; the line to record, none when the person went back. */
export async function unreachableLine(beside: Beside): Promise<string[]> {
  const { work, step } = beside;
  const title = 'What can the probes not reach?';
  const places = await choose(beside, title, 'or type a pin, part or net', placesOf(work, step));
  return places === undefined ? [] : [`unreachable ${places}`];
}

/** Finds a part or net by a few letters and shows what is known of it. */
export async function showFound(beside: Beside): Promise<void> {
  const { context, work, study } = beside;
  const found = await findName(context, work, await headOf(beside), 'Find:');
  if (found === undefined) return;
  const { board, derived } = work;
  const { index } = found;
  const isPart = found.what === 'part';
  const view =
    isPart &&
    viewPart(
      board,
      derived.evidence,
      explainPart(study.analysis, index),
      insteadOf(study.analysis, { part: index }),
    );
  const { unreachable } = derived.evidence;
  const place = isPart ? wherePart(board, index) : wherePoint(board, { net: index }, unreachable);
  const layOut = (style: Style): string[] =>
    view === false
      ? [...netLines(board, index, style), '', ...whereLines(place, style)]
      : [...partLines(view, style), '', ...whereLines(place, style)];
  await showPages(context, layOut, BACK);
}

/** Asks for a part and shows what lifting it would lead to; nothing is recorded. */
export async function showWhatIf(beside: Beside): Promise<void> {
  const { context, work, study } = beside;
  const found = await findName(context, work, await headOf(beside), 'What if I lift:', 'part');
  if (found === undefined) return;
  const view = viewWhatIf(work.board, whatIf(study.analysis, found.index));
  await showPages(context, (style) => whatIfLines(view, style), BACK);
}

export const BACK = 'Enter: back to the step';

async function headOf({ context, view }: Beside): Promise<string[]> {
  return stepLines(view, await styleFor(context, context.stderr));
}

/** One key for each choice, or a line of one's own; undefined when it is empty. */
async function choose(
  beside: Beside,
  title: string,
  other: string,
  choices: readonly Choice[],
): Promise<string | undefined> {
  const { context } = beside;
  for (let initial: string | undefined; ; ) {
    const { width, palette } = await styleFor(context, context.stderr);
    const rows = choices.flatMap(({ label }, index) => labelled(`  ${index + 1}`, label, 5, width));
    const lines = [
      ...(await headOf(beside)),
      '',
      palette.strong(title),
      ...rows,
      `  ${other}; Enter alone goes back`,
    ];
    clearScreen(context);
    context.stderr.write(`${shownLines(context, context.stderr, lines)}\n`);
    const answer = await askAt(context, {
      message: palette.strong('>'),
      keys: new Set(choices.map((_, index) => String(index + 1))),
      hint: '',
      ...(initial === undefined ? {} : { initial }),
    });
    if (answer.kind === 'key') return choices[Number(answer.key) - 1]?.value;
    if (answer.kind !== 'redraw')
      return answer.kind === 'line' ? answer.text || undefined : undefined;
    initial = answer.typed;
  }
}

/** The pads where the probes should go, and, of nets, all of their pads. */
function placesOf({ board, derived }: Work, step: Step): Choice[] {
  const probe = probeOf(step);
  if (probe === undefined) return [];
  const { unreachable } = derived.evidence;
  const { spots } = whereProbe(board, probe, unreachable);
  const pads = spots.flatMap(({ pad, text }) =>
    pad === undefined ? [] : [{ label: text, value: pad }],
  );
  const nets = [probe.red, probe.black].flatMap(({ net, pin }) => {
    const name = board.nets[net]?.name ?? '';
    return pin === undefined ? [{ label: `any pad of ${netName(board, net)}`, value: name }] : [];
  });
  return [...pads, ...nets];
}
