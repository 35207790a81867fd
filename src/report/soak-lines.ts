import { formatSeconds, formatVolts } from '../board/units.ts';
import type { SoakRail, SoakView, WatchView } from './soak.ts';
import type { Style } from './style.ts';
import { counted, listOf } from './words.ts';
import { GLUE, labelled, wrap } from './wrap.ts';

/** The soak as it stands, for a call that prints and ends. */
export function soakLines(view: SoakView, job: string, style: Style): string[] {
  const { width, palette } = style;
  if (view.state === 'not started') {
    return [
      ...wrap(`No soak of ${view.board} yet.`, width),
      ...wrap(`Start one: trace-short soak ${job} 60 min`, width),
    ];
  }
  const mark = view.state === 'stopped' ? palette.bad : palette.strong;
  return [
    ...wrap(`Soak of ${view.board}: ${stateText(view)}`, width).map(mark),
    barLine(view, width),
    ...dueLines(view, style),
    ...observedLines(view, style),
    ...noteLines(view, style),
    ...wrap(nextText(view, job), width),
  ];
}

/** `running`, `stopped: smoke at C7`. */
export function stateText({ state, words, isShort, needs }: SoakView): string {
  const why = words === undefined ? '' : `: ${words}`;
  if (state === 'void') return 'over, the board was changed or went wrong since it began';
  if (state === 'time is up')
    return needs.length === 0 ? 'time is up' : 'time is up, but not all was observed';
  return `${state}${isShort ? ', though not all was there' : ''}${why}`;
}

/** `[#####.....] 23 min of 60 min, 37 min left`. */
export function barLine({ seconds, elapsed, left, state }: SoakView, width: number): string {
  const isOver = state === 'time is up' || left === 0;
  const rest = isOver ? 'time is up' : `${formatSeconds(left)} left`;
  const text = `${formatSeconds(Math.min(elapsed, seconds))} of ${formatSeconds(seconds)}, ${rest}`;
  const cells = Math.min(40, width - text.length - 3);
  if (cells < 5) return text;
  const full = seconds === 0 ? cells : Math.min(cells, Math.floor((cells * elapsed) / seconds));
  return `[${'#'.repeat(full)}${'.'.repeat(cells - full)}] ${text}`;
}

/** When to look again. */
export function dueLines(
  { state, dueIn, every, observations }: SoakView,
  { width, palette }: Style,
): string[] {
  const made = `${counted(observations, 'observation')} so far`;
  if (dueIn === undefined) return state === 'void' ? [] : wrap(`${made}.`, width);
  if (dueIn > 0) {
    return wrap(
      `${made}; the next in ${formatSeconds(dueIn)} (every ${formatSeconds(every)}).`,
      width,
    );
  }
  const since = dueIn < -59 ? `, due ${formatSeconds(-dueIn)} ago` : '';
  return wrap(`Observe now${since}. ${made}.`, width).map(palette.warn);
}

/** Temperatures and voltages, with what they may be. */
export function observedLines({ watch, rails, elapsed }: SoakView, style: Style): string[] {
  return [
    ...watch.flatMap((each) => tempLines(each, elapsed, style)),
    ...rails.flatMap((each) => railLines(each, elapsed, style)),
  ];
}

const WHY: Readonly<Record<WatchView['why'], string>> = {
  fitted: 'fitted in this job',
  heatsink: 'on a heatsink',
  resistor: 'power resistor',
  electrolytic: 'electrolytic',
  regulator: 'regulator',
  winding: 'winding',
  power: 'carries power',
  seen: 'was looked at',
};
const INDENT = 9;

function tempLines(
  { part, why, most, celsius, after, isTooHot }: WatchView,
  elapsed: number,
  { width, palette }: Style,
): string[] {
  const limit = `at most ${most}${GLUE}°C, ${WHY[why]}`;
  const seen =
    celsius === undefined ? 'not taken yet' : `${celsius}${GLUE}°C ${ago(elapsed, after)}`;
  const text = `${seen}${isTooHot ? ', TOO HOT' : ''} (${limit})`;
  return labelled(part, text, INDENT, width).map(isTooHot ? palette.bad : (line) => line);
}

function railLines(
  { rail, red, black, expected, least, most, volts, after, isOut }: SoakRail,
  elapsed: number,
  { width, palette }: Style,
): string[] {
  const range =
    least !== undefined && most !== undefined
      ? `${least}–${most}${GLUE}V`
      : expected === undefined
        ? 'no figure in the board file'
        : `${expected}${GLUE}V`;
  const seen =
    volts === undefined
      ? 'not read yet'
      : `${formatVolts(volts).replaceAll(' ', GLUE)} ${ago(elapsed, after)}`;
  const text = `${seen}${isOut ? ', OUT OF RANGE' : ''} (${range}, ${red} to ${black})`;
  return labelled(rail, text, INDENT, width).map(isOut ? palette.bad : (line) => line);
}

function ago(elapsed: number, after = 0): string {
  const minutes = Math.floor((elapsed - after) / 60);
  return minutes < 1 ? 'just now' : `${formatSeconds(minutes * 60)} ago`;
}

/** Findings, stretches nobody observed, and what is missing. */
export function noteLines(
  { findings, gaps, needs, state }: SoakView,
  { width, palette }: Style,
): string[] {
  const item = (text: string): string[] => labelled('-', text, 2, width);
  const stretch = gaps.map(({ from, to }) => `${minutesAt(from)} to ${minutesAt(to)}`);
  return [
    ...findings.flatMap((text) => item(`Finding: ${text}`)).map(palette.warn),
    ...(gaps.length === 0
      ? []
      : item(`Nobody observed from ${listOf(stretch, 4)}.`).map(palette.warn)),
    ...(state === 'time is up' && needs.length > 0 ? item(`Missing: ${listOf(needs)}.`) : []),
  ];
}

/** `12 min`, counted from the start. */
function minutesAt(seconds: number): string {
  return formatSeconds(Math.floor(seconds / 60) * 60);
}

function nextText({ state, needs }: SoakView, job: string): string {
  switch (state) {
    case 'running':
      return `Record what is seen: trace-short log ${job} "temp Q3 71 C"; at a terminal: trace-short soak ${job}`;
    case 'time is up':
      return needs.length === 0
        ? `End it: trace-short log ${job} "soak passed"`
        : `Observe what is missing, then: trace-short log ${job} "soak passed"`;
    case 'passed':
      return `Next: trace-short next ${job}`;
    default:
      return `Off, discharged, measured; then look for shorts again: trace-short next ${job}`;
  }
}
