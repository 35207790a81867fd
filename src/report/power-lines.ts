import { harmless } from '../board/shown-text.ts';
import {
  formatAmps,
  formatJoules,
  formatOhms,
  formatSeconds,
  formatVolts,
  formatWatts,
} from '../board/units.ts';
import type { FeedKind } from '../job/rail-feeds.ts';
import { cautionsOf, duringStop, stopConditions } from './power-cautions.ts';
import type {
  FeedView,
  PoweredView,
  PowerView,
  ReadView,
  StageView,
  StepView,
} from './power-plan.ts';
import type { Style } from './style.ts';
import { counted, listOf, runsOf, sentence } from './words.ts';
import { GLUE, labelled, wrap } from './wrap.ts';

const INDENT = 9;
const NO_RAILS =
  'The board file names no rails, so nothing can be planned: list them under rails: with their volts.';
/** More gates than this are counted. */
const MOST_GATES = 8;

/** The whole plan: what is missing, cautions, each stage not passed in full, what ends a stage. */
export function powerLines(view: PowerView, job: string, style: Style): string[] {
  const { width, palette } = style;
  return [
    ...headLines(view, style),
    ...(view.stages.length > 0 ? [] : wrap(NO_RAILS, width).map(palette.warn)),
    '',
    ...bullets('Before power', cautionsOf(view), style).map(palette.warn),
    ...view.stages.flatMap((stage) => ['', ...stageLines(stage, style)]),
    ...(view.functions.length === 0 ? [] : ['', ...functionLines(view, style)]),
    '',
    ...bullets('Off at once when', stopConditions(view), style),
    '',
    ...bullets('Then', duringStop(view), style),
    ...(view.ready ? ['', ...wrap(nextText(view, job), width)] : []),
  ];
}

function headLines(
  { board, ready, missing, held }: PowerView,
  { width, palette }: Style,
): string[] {
  if (ready) {
    const text = `All ${held} gates hold: what was to be read was read clear since the last change.`;
    return [...wrap(`Power-up plan of ${board}`, width).map(palette.strong), ...wrap(text, width)];
  }
  const shown = missing.slice(0, MOST_GATES);
  const more = missing.length - shown.length;
  const title = `Not yet: ${counted(missing.length, 'gate')} of ${missing.length + held} ${
    missing.length === 1 ? 'does' : 'do'
  } not hold. No power before.`;
  return [
    ...wrap(title, width).map(palette.bad),
    ...shown.flatMap(({ name, needs }) =>
      labelled('-', harmless(`${name}: ${needs.join('; ')}`), 2, width),
    ),
    ...(more > 0 ? [`- and ${more} more: trace-short next shows what to read`] : []),
    '',
    ...wrap(`Power-up plan of ${board}, to be looked at only`, width).map(palette.strong),
  ];
}

function bullets(title: string, texts: readonly string[], { width }: Style): string[] {
  return [`${title}:`, ...texts.flatMap((text) => labelled('-', text, 2, width))];
}

/** One stage; a passed one in a line, with what was read in it. */
function stageLines(view: StageView, style: Style): string[] {
  const { set, read, rest, seen } = stageParts(view, style);
  return [...set, ...read, ...rest, ...seen];
}

/** A stage in parts, for screens that may not hold all of it. */
export interface StageParts {
  /** What comes up, how it is fed, what to set. */
  readonly set: readonly string[];
  /** What to read. */
  readonly read: readonly string[];
  /** What it may draw, what stays cool, what it holds. */
  readonly rest: readonly string[];
  /** What was read already. */
  readonly seen: readonly string[];
}

export function stageParts(view: StageView, style: Style): StageParts {
  const { width, palette } = style;
  const row = (label: string, text: string): string[] => labelled(label, text, INDENT, width);
  const title = `Stage ${view.number}  ${listOf(view.rails, 12)}: ${stateText(view)}`;
  const head = wrap(title, width).map(view.state === 'stopped' ? palette.bad : palette.strong);
  const readings = view.readings.flatMap((reading) => readingLines(reading, style));
  const unread = unreadLines(view, style);
  if (view.state === 'passed') {
    return { set: head, read: [], rest: [], seen: [...readings, ...unread] };
  }
  const allMayBeOff = view.reads.length > 1 && view.reads.every(({ mayBeOff }) => mayBeOff);
  return {
    set: [
      ...head,
      ...feedTexts(view).flatMap((text, k) => row(k === 0 ? 'Feed' : '', text)),
      ...view.steps.flatMap((step, k) => row(k === 0 ? 'Set' : '', stepText(step, view.feed))),
    ],
    read: [
      ...view.reads.flatMap((read, k) => row(k === 0 ? 'Read' : '', readText(read, allMayBeOff))),
      ...(allMayBeOff ? row('', 'Any of these may be off until something switches it on.') : []),
    ],
    rest: [
      ...row('Draws', knownText(view)),
      ...(view.cool.length === 0 ? [] : row('Cool', `${runsOf(view.cool, 10)} must not get warm`)),
      ...(view.warm.length === 0 ? [] : row('Warm', warmText(view))),
      ...(view.joules < 0.001 ? [] : row('Holds', holdsText(view))),
    ],
    seen: [...readings, ...(readings.length > 0 ? unread : [])],
  };
}

/** What was not read as it should be, of a stage that was passed or is being worked at. */
function unreadLines({ unread, state }: StageView, { width, palette }: Style): string[] {
  if (unread.length === 0) return [];
  const text = `${listOf(unread, 8)} at full voltage`;
  return labelled(state === 'passed' ? 'Not read' : 'To read', text, INDENT, width).map(
    palette.warn,
  );
}

function stateText({ state, event, words }: StageView): string {
  const why = words === undefined ? '' : `: ${words}`;
  switch (state) {
    case 'to do':
      return 'not done';
    case 'again':
      return `to be done again: passed in event ${event}, before the last change`;
    default:
      return `${state} in event ${event}${why}`;
  }
}

function feedTexts({ feed, rails }: StageView): string[] {
  if ('from' in feed) {
    const each = feed.from.map(({ to, rails: from, kind, through, isSure }) => {
      const by = through.length === 0 ? '' : `, through ${listOf(through, 5)}`;
      const doubt = isSure ? '' : ', as far as the board file tells';
      return `${listOf(to, 3)} from ${listOf(from, 3)}${by} (${KIND_WORDS[kind]}${doubt})`;
    });
    if (feed.how === 'board')
      return ['Leave the source at full voltage. What comes up now:', ...each];
    const known = new Set(feed.from.flatMap(({ to }) => to));
    const open = listOf(
      rails.filter((rail) => !known.has(rail)),
      6,
    );
    return [
      `The board file does not tell what feeds ${open}; find out before power goes on.`,
      ...each,
    ];
  }
  const { plugs, plus, minus, rail, isApart } = feed;
  const ends = `${plus.net} at ${plus.at} (plus) and ${minus.net} at ${minus.at} (minus)`;
  if (isApart) {
    const dead = `Mains unplugged, bulk measured empty: ${rail} is fed behind its rectifier, which keeps the rest dead.`;
    return [`Bench supply with current limit, ${ends}. ${dead}`];
  }
  const where = plugs.length === 0 ? ends : `at ${listOf(plugs, 3)}`;
  if (feed.how === 'mains') return [`Mains ${where}, bench supplies taken off: ${lampText(feed)}`];
  const doubt =
    plugs.length > 1 ? ' Which of them is the input, the board file does not tell.' : '';
  const kind = feed.how === 'dc' ? 'Floating DC supply' : 'Bench supply';
  const volts =
    feed.volts === undefined
      ? '; its voltage is not in the board file, take it from the label'
      : '';
  return [`${kind} with current limit, ${where}${volts}. Nothing else connected.${doubt}`];
}

function lampText({
  lampWatts,
  lampAmps,
}: Extract<FeedView, { how: 'mains' | 'dc' | 'bench' }>): string {
  const lamp =
    lampWatts === undefined
      ? 'a filament lamp'
      : `a ${lampWatts}${GLUE}W filament lamp (no more than ${formatAmps(lampAmps ?? 0)} into a short)`;
  return (
    `isolation transformer, then a variable transformer, then ${lamp} in series. ` +
    'A variable transformer by itself isolates nothing. A supply that hiccups on a lamp: current-limited DC into the bulk rail instead.'
  );
}

const KIND_WORDS: Readonly<Record<FeedKind, string>> = {
  converter: 'converter',
  regulator: 'regulator',
  rectifier: 'rectifier',
  transformer: 'transformer',
  switch: 'a switch, to be turned on',
  resistor: 'a resistor',
};

function stepText(
  { share, volts, limitAmps, chargeSeconds, isWithoutLamp }: StepView,
  feed: FeedView,
): string {
  const part = `${Math.round(share * 100)}${GLUE}%`;
  const set =
    volts === undefined ? `${part} of its voltage` : `${part}, ${glued(formatVolts(volts))}`;
  const fuse =
    feed.how === 'mains' && feed.fuseAmps !== undefined ? ` (${formatAmps(feed.fuseAmps)})` : '';
  if (isWithoutLamp)
    return `${set} without the lamp, isolation transformer still in, on the board's own fuse${fuse}, once all read as it should`;
  if (limitAmps === undefined) return `${set}, lamp in: it must go dark`;
  const charge =
    chargeSeconds === undefined || chargeSeconds < 0.1
      ? ''
      : `, charged after ${glued(formatSeconds(Number(chargeSeconds.toPrecision(2))))}`;
  return `${set}, limit ${glued(formatAmps(limitAmps))}${charge}`;
}

/** `bus, TP1 to TP2: 4.8 V, 24 V, 48 V (46.6–49.4)`. */
function readText(
  { rail, red, black, isMains, mayBeOff, expected }: ReadView,
  isSaidOnce: boolean,
): string {
  const where = `${rail}, ${red} to ${black}: `;
  const last = expected.at(-1);
  const off = mayBeOff && !isSaidOnce ? '; may be off until something switches it on' : '';
  if (last?.volts === undefined || last.least === undefined || last.most === undefined) {
    return `${where}its voltage is not in the board file${off}`;
  }
  const figures = expected.flatMap(({ volts }) =>
    volts === undefined ? [] : [glued(formatVolts(volts))],
  );
  const unit = isMains ? 'V AC' : 'V';
  const range = `${Number(last.least.toPrecision(3))}–${Number(last.most.toPrecision(3))}${GLUE}${unit}`;
  const isLate = figures.length < expected.length;
  return `${where}${figures.join(', ')} (${range})${isLate ? ' at full voltage, less before' : ''}${off}`;
}

function knownText({ known, feed }: StageView): string {
  const rest = 'what ICs and loads take is not in the board file';
  if (known === undefined) return sentence(`${rest}.`);
  if (known.amps < 1e-4) return `Next to nothing through resistors; ${rest}.`;
  const through = known.through.length === 0 ? '' : ` through ${listOf(known.through.slice(0, 4))}`;
  const lamp = feed.how === 'mains' ? ' A lamp that stays dim is a board that idles.' : '';
  return `${formatAmps(known.amps)} at ${formatVolts(known.volts)}${through}; ${rest}.${lamp}`;
}

function warmText({ warm }: StageView): string {
  const each = warm.slice(0, 6).map(({ part, watts }) => `${part} (${glued(formatWatts(watts))})`);
  const more = warm.length > each.length ? ` and ${warm.length - each.length} more` : '';
  return `${each.join(', ')}${more} may: resistors across the rail`;
}

function holdsText({ joules, bleed }: StageView): string {
  const empty =
    bleed === undefined
      ? ''
      : `; the slowest empties to 1 V through ${glued(formatOhms(bleed.ohms))} in ${glued(formatSeconds(Math.max(1, Math.ceil(bleed.seconds))))}`;
  return `${glued(formatJoules(joules))} at full voltage${empty}`;
}

function readingLines(reading: PoweredView, { width, palette }: Style): string[] {
  const { event, rail, volts, amps, verdict, share } = reading;
  const figure = volts === undefined ? formatAmps(amps ?? 0) : formatVolts(volts);
  const text = `${rail} ${glued(figure)}: ${verdictText(reading)}`;
  const isBad = verdict !== 'within' && verdict !== 'not told';
  const mark = isBad
    ? palette.bad
    : verdict === 'within' && share !== 0.1
      ? palette.good
      : palette.quiet;
  return labelled(`event ${event}`, text, INDENT, width).map(mark);
}

/** What a reading under power is beside what the plan expects. */
export function verdictText({ verdict, share, least, most, amps }: PoweredView): string {
  const [low, high] = [least, most].map((each) =>
    each === undefined ? undefined : Number(each.toPrecision(3)),
  );
  const unit = amps === undefined ? 'V' : 'A';
  const range =
    high === undefined
      ? ''
      : low === undefined
        ? `at most ${high} ${unit}`
        : `${low}–${high} ${unit}`;
  switch (verdict) {
    case 'not told':
      return 'the board file gives no figure for it';
    case 'within':
      return amps === undefined
        ? `as expected at ${Math.round((share ?? 1) * 100)} % (${range})`
        : `not over the limit (${formatAmps(most ?? 0)})`;
    case 'over':
      return `OVER the limit of ${formatAmps(most ?? 0)}: off`;
    case 'reversed':
      return `REVERSED: off`;
    default:
      return `TOO ${verdict.toUpperCase()}: ${range} expected at ${Math.round((share ?? 1) * 100)} %`;
  }
}

function functionLines({ functions }: PowerView, { width, palette }: Style): string[] {
  return [
    'Function checks:',
    ...functions.flatMap(({ text, state, event }) => {
      const words = state === 'to do' ? 'not done' : `${state} in event ${event}`;
      const mark =
        state === 'failed'
          ? palette.bad
          : state === 'passed'
            ? palette.good
            : (line: string) => line;
      return labelled('-', `${harmless(text)}: ${words}`, 2, width).map(mark);
    }),
  ];
}

function nextText({ next, stages, functions }: PowerView, job: string): string {
  const stage = stages.find(({ number }) => number === next);
  if (stage !== undefined) {
    const [read] = stage.reads;
    const powered = read === undefined ? '' : `"powered ${read.red} ${read.black} … V" `;
    return `Record what is read, then the stage: trace-short log ${job} ${powered}"power ${next} passed"; or "power ${next} stopped" and why.`;
  }
  if (stages.length === 0) return `Next, once it runs: trace-short soak ${job}`;
  const open = functions.find(({ state }) => state !== 'passed');
  if (open === undefined) return `Every stage passed. Next: trace-short soak ${job}`;
  return `Every stage passed. Next, a function check: trace-short log ${job} "function passed ${harmless(open.text)}"`;
}

function glued(text: string): string {
  return text.replaceAll(' ', GLUE);
}
