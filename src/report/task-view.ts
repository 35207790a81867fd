/** The one thing that comes next, of any stage but the readings' own steps, in names. */
import type { Board, Part } from '../board/model.ts';
import { harmless } from '../board/shown-text.ts';
import type { DischargeLimits } from '../job/discharge-limits.ts';
import type { LookItem } from '../job/look-over.ts';
import { partName as plainName, printPin } from '../job/points.ts';
import { printProbe } from '../job/print-say.ts';
import type { Renewal } from '../job/renewals.ts';
import type { Task, TouchUpSpot } from '../job/task.ts';
import { partName, partNames, pointName, probeText } from './names.ts';
import { failedBefore } from './past.ts';
import { viewDischarge, viewResidual } from './task-charge.ts';
import { viewInjecting } from './task-injection.ts';
import { SIGN_OFF, viewCheck, viewPower, viewSoak, viewSoakStart } from './task-power.ts';
import { answer, type TaskAnswer, type TaskView, type Told } from './task-told.ts';
import { listOf, runsOf } from './words.ts';

export function viewTask(
  board: Board,
  task: Exclude<Task, { kind: 'bench' }>,
  limits: DischargeLimits,
): TaskView {
  const bare = { kind: task.kind, why: '', list: [], answers: [], lines: [] };
  switch (task.kind) {
    case 'intake':
      return { ...bare, ...INTAKE, answers: [intakeAnswer(task.missing)] };
    case 'look-over':
      return { ...bare, ...viewLookOver(board, task.items, task.maySkip) };
    case 'residual':
      return { ...bare, ...viewResidual(board, task.charge) };
    case 'discharge':
      return { ...bare, ...viewDischarge(board, task.charge, limits) };
    case 'injection':
      return { ...bare, ...viewInjecting(board, task.injection) };
    case 'renew':
      return { ...bare, ...viewRenew(board, task.parts) };
    case 'tab reading':
      return { ...bare, ...viewTabReading(board, task) };
    case 'isolation':
      return { ...bare, ...viewIsolation(board, task.part, task.isRepeat) };
    case 'fasten':
      return { ...bare, ...viewFasten(board, task.parts) };
    case 'touch-up':
      return { ...bare, ...viewTouchUp(board, task.spots, task.maySkip) };
    case 'power':
      return { ...bare, ...viewPower(board, task.planned, task.count) };
    case 'function':
      return { ...bare, ...viewCheck(task.check) };
    case 'soak start':
      return { ...bare, ...viewSoakStart(task.minutes) };
    case 'soak':
      return { ...bare, ...viewSoak(board, task.soak) };
    case 'sign-off':
      return { ...bare, ...SIGN_OFF };
    case 'signed off':
      return { ...bare, text: 'This job is signed off.', why: 'Work on the board opens it again.' };
  }
}

const INTAKE: Told = {
  text: 'Write down what is known of this board before it is touched.',
  why: 'What arrived damaged or tampered with steers the look-over, and the sheet at the end.',
  lines: [
    'customer trips the breaker at once',
    'arrived cover missing, two screws turned before',
    'marking label 4711',
    'photo arrived.jpg',
  ],
};

function intakeAnswer(missing: readonly ('customer' | 'arrived')[]): TaskAnswer {
  const says = { customer: 'customer said nothing', arrived: 'arrived with nothing to note' };
  const label = missing.length > 1 ? 'nothing is known' : 'nothing more';
  return answer('0', label, ...missing.map((verb) => says[verb]));
}

function viewLookOver(board: Board, items: readonly LookItem[], maySkip: boolean): Told {
  const open = items.flatMap((item) => item.open);
  const list = items.map(({ open: parts, reasons, past }) => {
    const [first] = parts.flatMap((part) => board.parts[part] ?? []);
    const place = first === undefined ? '' : placeText(first);
    return `${runsOf(partNames(board, parts))}${place}: ${[...reasons, ...failedBefore(past)].join(', ')}`;
  });
  return {
    text: 'Look over the board, these parts first: burnt, cracked, leaking, reworked, dirty, a leg off its pad?',
    why: 'They fail first on boards like this one, and what an eye finds is weighed with the readings.',
    list,
    parts: partNames(board, open),
    answers: [
      answer(
        '1',
        'all of these look sound',
        ...open.map((part) => `look ${plainName(board, part)} looks sound`),
      ),
    ],
    lines: [
      ...(open[0] === undefined ? [] : [`look ${partName(board, open[0])} burnt`]),
      ...(maySkip ? ['skip look-over and why'] : []),
    ],
  };
}

/** ` at x 84, y 20, bottom`. */
function placeText({ at, side }: Part): string {
  if (at === undefined) return side === 'bottom' ? ' (bottom)' : '';
  return ` (x ${at[0]}, y ${at[1]}${side === 'bottom' ? ', bottom' : ''})`;
}

function viewRenew(board: Board, due: readonly Renewal[]): Told {
  const parts = due.map(({ part }) => part);
  const names = parts.map((part) => plainName(board, part));
  const by = (why: string): string =>
    runsOf(
      partNames(
        board,
        due.filter((one) => one.why === why).map(({ part }) => part),
      ),
      12,
    );
  return {
    text: `Renew ${runsOf(partNames(board, parts), 12)}.`,
    why: 'No reading accuses them; a part that was tested and stays is ticked.',
    parts: partNames(board, parts),
    list: [...new Set(due.map(({ why }) => why))].map(
      (why) => `${by(why)}: ${RENEWED_FOR[why] ?? `found ${why}`}`,
    ),
    answers: [answer('1', 'new ones fitted', `replace ${names.join(' ')}`)],
    lines: [`replace ${names[0]}`, `tick ${names[0]} tested`],
  };
}

const RENEWED_FOR: Readonly<Partial<Record<Renewal['why'], string>>> = {
  'dries out': 'due in a refurbishment, as it dries out',
  'fails first': 'due in a refurbishment, as it fails first on this board',
  'wrong part': 'found to be a wrong part',
};

function viewTabReading(board: Board, task: Extract<Task, { kind: 'tab reading' }>): Told {
  const name = partName(board, task.part);
  const line = printProbe(board, task.probe);
  const isBeeper = task.probe.mode === 'continuity';
  return {
    text: `Read the tab of ${name} against its heatsink: ${probeText(board, task.probe)}.`,
    why: `${name} was fitted; an insulator that lets through joins the tab to the metal.`,
    points: [task.probe.red, task.probe.black].map((point) => pointName(board, point)),
    parts: [name],
    value: line,
    answers: isBeeper
      ? [answer('q', 'quiet', `${line} quiet`), answer('b', 'beep', `${line} beep`)]
      : [answer('v', 'over range', `${line} OL`)],
  };
}

function viewIsolation(board: Board, part: number, isRepeat: boolean): Told {
  const name = plainName(board, part);
  const again = isRepeat ? 'See to the insulator, then read' : 'Read';
  return {
    text: `${again} the tab of ${partName(board, part)} against its heatsink, ohms.`,
    why: 'It was fitted to the heatsink; an insulator that lets through joins the tab to the metal.',
    parts: [partName(board, part)],
    value: `isolation ${name}`,
    answers: [answer('v', 'over range', `isolation ${name} OL`)],
    lines: [`isolation ${name} 20 Mohm`],
  };
}

function viewFasten(board: Board, parts: readonly number[]): Told {
  const names = parts.map((part) => plainName(board, part));
  return {
    text: `Fasten ${listOf(partNames(board, parts))} to the heatsink: insulator and paste in place, clip or screw tight.`,
    why: 'A part that is not pressed to its heatsink dies within seconds under power.',
    parts: partNames(board, parts),
    answers: [answer('Enter', 'fastened', `tick ${names.join(' ')} fastened`)],
  };
}

/** So many parts are gone through at a time. */
const SPOTS_AT_ONCE = 8;

function viewTouchUp(board: Board, spots: readonly TouchUpSpot[], maySkip: boolean): Told {
  const bad = spots.flatMap(({ cracked }) => cracked);
  if (bad.length > 0) return viewCracked(board, bad);
  const shown = spots.slice(0, SPOTS_AT_ONCE);
  const more = spots.length - shown.length;
  const [first] = shown.flatMap(({ part }) => board.parts[part]?.pins ?? []);
  const pin = first === undefined ? undefined : printPin(board, first);
  return {
    text: 'Look at these joints, magnified: cracked rings, dull or starved solder, a pad that lifts?',
    why: `They carry weight, heat or plugging, and are the next to fail.${more > 0 ? ` ${more} more follow.` : ''}`,
    list: shown.map(({ part, why }) => `${partName(board, part)}: ${harmless(why)}`),
    parts: shown.map(({ part }) => partName(board, part)),
    answers: [
      answer(
        '1',
        'all of these look sound',
        ...shown.map(({ part }) => `look ${plainName(board, part)} looks sound`),
      ),
    ],
    lines: [
      ...(pin === undefined ? [] : [`look ${pin} cracked`, `reflow ${pin}`]),
      ...(maySkip ? ['skip touch-up and why'] : []),
    ],
  };
}

function viewCracked(board: Board, pins: readonly number[]): Told {
  const names = pins.map((pin) => printPin(board, pin));
  return {
    text: `Heat these joints again with fresh solder: ${listOf(names.map(harmless))}.`,
    why: 'They were found cracked or off their pads.',
    answers: [answer('Enter', 'done', `reflow ${names.join(' ')}`)],
  };
}
