/** The one thing that comes next, of any stage but the readings' own steps, in names. */
import type { Board, Part } from '../board/model.ts';
import { harmless } from '../board/shown-text.ts';
import {
  formatFarads,
  formatJoules,
  formatOhms,
  formatSeconds,
  formatVolts,
  formatWatts,
} from '../board/units.ts';
import type { Charge } from '../job/discharge.ts';
import { type DischargeLimits, limitText } from '../job/discharge-limits.ts';
import type { LookItem } from '../job/look-over.ts';
import { partName as plainName, printPin, printPoint } from '../job/points.ts';
import { printProbe } from '../job/print-say.ts';
import type { Renewal } from '../job/renewals.ts';
import type { SoakState } from '../job/soak.ts';
import type { PlannedStage, Task, TouchUpSpot } from '../job/task.ts';
import { netName, partName, partNames, probeText } from './names.ts';
import { listOf, runsOf } from './words.ts';

/**
 * One answer, given by one key: a figure where typed lines may begin with any letter. `say` is what
 * it records, ready to be recorded by a script.
 */
export interface TaskAnswer {
  /** One character, or `Enter`. */
  readonly key: string;
  readonly label: string;
  readonly say: readonly string[];
}

export interface TaskView {
  readonly kind: Exclude<Task['kind'], 'bench'>;
  /** What to do, one sentence or two. */
  readonly text: string;
  readonly why: string;
  /** What it is about, the most important first. */
  readonly list: readonly string[];
  readonly answers: readonly TaskAnswer[];
  /** The line that a value alone completes: `residual P48 GND`. */
  readonly value?: string;
  /** Lines that may be typed instead, as examples. */
  readonly lines: readonly string[];
}

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

type Told = Partial<TaskView> & { readonly text: string };

function answer(key: string, label: string, ...say: readonly string[]): TaskAnswer {
  return { key, label, say };
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
  const list = items.map(({ open: parts, reasons }) => {
    const [first] = parts.flatMap((part) => board.parts[part] ?? []);
    const place = first === undefined ? '' : placeText(first);
    return `${runsOf(partNames(board, parts))}${place}: ${reasons.join(', ')}`;
  });
  return {
    text: 'Look over the board, these parts first: burnt, cracked, leaking, reworked, dirty, a leg off its pad?',
    why: 'They fail first on boards like this one, and what an eye finds is weighed with the readings.',
    list,
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

function pairOf(board: Board, { nets }: Charge): { names: string[]; line: string } {
  const names = nets.map((net) => netName(board, net));
  const line = `residual ${nets.map((net) => printPoint(board, { net })).join(' ')}`;
  return { names, line };
}

function viewResidual(board: Board, charge: Charge): Told {
  const { names, line } = pairOf(board, charge);
  const [plus, minus] = names;
  const again = charge.state === 'again';
  const text = `Measure the voltage left from ${plus} (red) to ${minus} (black)${again ? ' once more' : ', meter on DC volts'}.`;
  const why = again
    ? `It was charged and is discharged; electrolytics get part of their charge back within minutes.`
    : `${heldText(board, charge)} ${bleedText(charge)}`.trim();
  return {
    text,
    why,
    value: line,
    answers: [answer('z', 'reads 0 V', `${line} 0 V`)],
    lines: [`${line} 0.2 V`],
  };
}

/** `C5–C7, 164 µF, may hold 8.66 J at 325 V.` */
function heldText(board: Board, { stored }: Charge): string {
  if (stored === undefined) return '';
  const { parts, farads, volts, voltsFrom, joules } = stored;
  const rated = voltsFrom === 'rated' ? ', their rating' : '';
  return `${runsOf(partNames(board, parts), 4)}, ${formatFarads(farads)}, may hold ${formatJoules(joules)} at ${formatVolts(volts)}${rated}.`;
}

function bleedText({ stored }: Charge): string {
  if (stored === undefined) return '';
  const { bleedOhms, bleedWatts, bleedSeconds } = stored;
  const time = formatSeconds(Math.max(1, Math.ceil(bleedSeconds)));
  return `If it is charged: ${formatOhms(bleedOhms)} (${formatWatts(bleedWatts)} at first) takes it to 1 V in ${time}.`;
}

function viewDischarge(board: Board, charge: Charge, limits: DischargeLimits): Told {
  const { names, line } = pairOf(board, charge);
  const volts = Math.abs(charge.last?.volts ?? 0);
  const { stored } = charge;
  const through =
    stored === undefined
      ? 'a resistor rated for the voltage and the pulse'
      : `${formatOhms(stored.bleedOhms)} rated for ${formatVolts(Math.max(volts, stored.volts))} (${formatWatts((volts * volts) / stored.bleedOhms)} at first)`;
  const wait =
    stored === undefined
      ? ''
      : `, ${formatSeconds(Math.max(1, Math.ceil(stored.bleedOhms * stored.farads * Math.log(Math.max(volts, 1)))))}`;
  const held = charge.joules > 0 ? ` (${formatJoules(charge.joules)})` : '';
  return {
    text: `Discharge ${names.join(' to ')} through ${through}${wait}, insulated clips, one hand; then measure it again.`,
    why: `It held ${formatVolts(volts)}${held} in event ${charge.last?.event}. No cold reading above ${limitText(limits)}.`,
    value: line,
    lines: [`${line} 0.2 V`],
  };
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

function viewPower(board: Board, { stage, rails, text }: PlannedStage, count: number): Told {
  const stop = (key: string, why: string): TaskAnswer =>
    answer(key, `stopped: ${why}`, `power ${stage} stopped ${why}`);
  return {
    text: `Power stage ${stage} of ${count}: ${harmless(text)}`,
    why: 'Everything read clear cold since the last change. Probes off before power, hands off under it.',
    answers: [
      answer('1', 'passed', `power ${stage} passed`),
      stop('2', 'current at its limit'),
      stop('3', 'something hot or smoking'),
      stop('4', 'a voltage is wrong'),
    ],
    lines: [...poweredExamples(board, rails[0]), `power ${stage} stopped and why`],
  };
}

function viewCheck(check: string): Told {
  return {
    text: `Check its function: ${harmless(check)}.`,
    why: 'Your shop asks for it.',
    answers: [
      answer('1', 'passed', `function passed ${check}`),
      answer('2', 'failed', `function failed ${check}`),
    ],
  };
}

function viewSoakStart(minutes: number): Told {
  return {
    text: 'Start the soak: the board runs at its usual load while it is watched.',
    why: 'What fails when it gets warm shows now, and not at the customer.',
    answers: [answer('1', `starts now, ${minutes} min`, `soak start ${minutes} min`)],
    lines: [
      'soak start 2 h',
      'function passed and what',
      'function failed and what',
      'skip soak and why',
    ],
  };
}

/** What may be read under power, with names of this board. */
function poweredExamples(board: Board, index = 0): string[] {
  const rail = board.rails[index];
  if (rail === undefined) return [];
  const nets = [rail.plus, rail.minus].map((net) => printPoint(board, { net }));
  return [`powered ${nets.join(' ')} ${rail.volts ?? 5} V`, `draws ${rail.name} 0.12 A`];
}

function viewSoak(board: Board, soak: SoakState): Told {
  const warm = board.parts.find(({ heatsink }) => heatsink !== undefined) ?? board.parts[0];
  const isOver = soak.state === 'time is up';
  const { dueIn } = soak;
  const isDue = dueIn !== undefined && dueIn <= 0;
  const look = isDue
    ? 'an observation is due now'
    : `the next observation in ${formatSeconds(dueIn ?? soak.every)}`;
  return {
    text: isOver
      ? 'The soak has run its time. Did it pass?'
      : `The soak is running, ${formatSeconds(soak.left)} left; ${look}: heat, smell, noise, voltages?`,
    why: soak.needs.length === 0 ? '' : `Before it may be passed: ${soak.needs.join('; ')}.`,
    answers: [
      // Not the key that passed the stages before: a habit must not end a soak.
      isOver ? answer('1', 'passed', 'soak passed') : answer('e', 'passed early', 'soak passed'),
      answer('2', 'stopped: something hot or smoking', 'soak stopped something hot or smoking'),
      answer('3', 'stopped: it shut down', 'soak stopped it shut down'),
    ],
    lines: [
      'soak finding fan rattles',
      ...(warm === undefined ? [] : [`temp ${warm.name} 71 C`]),
      ...poweredExamples(board),
      'soak stopped and why',
    ],
  };
}

const SIGN_OFF: Told = {
  text: 'Sign the job off.',
  why: 'Power-up and soak are through; the record tells what was measured and when.',
  answers: [
    answer('1', 'cleared', 'sign-off cleared'),
    answer('2', 'returned as it is', 'sign-off returned'),
    answer('3', 'uneconomic', 'sign-off uneconomic'),
  ],
  lines: ['sign-off cleared and words for the sheet'],
};
