import { columnsOf } from '../../board/shown-text.ts';
import type { Style } from '../style.ts';
import { counted, listOf } from '../words.ts';
import { GLUE, labelled, wrap } from '../wrap.ts';
import type { ContactView, MapView, ProgressView, SweepView } from './view.ts';

/** The next step as a person reads it with both hands on the probes. */
export function sweepLines(step: SweepView, style: Style): string[] {
  const { strong } = style.palette;
  const net = step.holdNet === undefined || step.holdNet === step.hold ? '' : ` (${step.holdNet})`;
  return [
    ...labelled('Hold', `${step.hold}${net}`, 7, style.width).map(strong),
    ...touchLines(step.touch, style).map(strong),
    ...wrap(askOf(step), style.width),
  ];
}

function askOf({ why, touch }: SweepView): string {
  const waits = 'A beep that dies away is a capacitor charging: only one that stays counts.';
  if (why === 'again') return `It beeped against the odds: once more, and wait. ${waits}`;
  if (why === 'narrow') return 'The row beeped: which of it? Touch this part of it alone.';
  const rows = touch.some(({ points }) => points.length > 1)
    ? ' A row is touched at once with a strip of braid, or by drawing the probe along it.'
    : '';
  return `In turn: which is the first that beeps, and goes on beeping?${rows}`;
}

/** Numbered, several to a line; a row of points has a line for itself. */
function touchLines(touch: readonly ContactView[], { width }: Style): string[] {
  const items = touch.map(({ points }, at) => ({
    text: `${at + 1}${GLUE}${pointsText(points)}`,
    isRow: points.length > 1,
  }));
  const column = 2 + Math.max(...items.map(({ text, isRow }) => (isRow ? 0 : columnsOf(text))));
  const lines: string[] = [];
  let line = '';
  const flush = (): void => {
    if (line !== '') lines.push(line.replace(/\u00a0+$/u, ''));
    line = '';
  };
  for (const { text, isRow } of items) {
    const padded = text + GLUE.repeat(Math.max(2, column - columnsOf(text)));
    if (isRow || columnsOf(line + text) > width - 7) flush();
    line += isRow ? text : padded;
    if (isRow) flush();
  }
  flush();
  return lines
    .flatMap((each, at) =>
      labelled(at === 0 ? 'Touch' : '', at === 0 ? each : `${' '.repeat(7)}${each}`, 7, width),
    )
    .map((each) => each.replaceAll(GLUE, ' '));
}

/** `U1.1 U1.2 U1.3 in a row`; a long row by its ends. */
export function pointsText(points: readonly string[]): string {
  const [first = '', second] = points;
  if (second === undefined) return first;
  const last = points.at(-1) ?? '';
  return points.length < 4
    ? `${points.join(' ')} at once`
    : `${first} to ${last} at once (${points.length} pins)`;
}

export function progressText(progress: ProgressView): string {
  const { points, onNets, nets, touches } = progress;
  return `${onNets} of ${counted(points, 'point')} on ${counted(nets, 'net')}, ${counted(touches, 'reading')} so far.`;
}

/** Where the map stands, for a call that does not stay. */
export function mapLines(view: MapView, style: Style): string[] {
  const { width, palette } = style;
  const say = (text: string): string[] => wrap(text, width);
  return [
    ...labelled('So far', progressText(view.progress), 7, width),
    ...view.conflicts.flatMap((each) => say(conflictText(each)).map(palette.bad)),
    ...view.sameNet.flatMap((names) =>
      say(`Read as one net, though named apart: ${listOf(names)}. The first name is used.`).map(
        palette.warn,
      ),
    ),
    ...(view.bridged.length === 0
      ? []
      : say(
          `Read with two legs on one net: ${listOf(view.bridged)}. Is the board as good as it was thought, or does a winding or link lie across?`,
        ).map(palette.warn)),
    ...lowOhmLines(view, style),
    ...(view.step === null || view.ground?.isTold === true ? [] : say(groundText(view.ground))),
    ...(view.lifted.length === 0
      ? []
      : say(`Lifted, to be put back before the board is: ${listOf(view.lifted)}.`).map(
          palette.warn,
        )),
    '',
    ...(view.step === null ? say(FINISHED) : sweepLines(view.step, style)),
  ];
}

export const FINISHED =
  'Finished: no pair left is likely enough to be worth a reading. Pairs that were never read may be joined all the same; any reading can still be typed.';

/** Most points are on ground: where it is saves readings. */
function groundText(ground: MapView['ground']): string {
  const guess = ground === null ? '' : ` ${ground.point} is taken to be on it.`;
  return `Is a point of ground known? Say it: ground J1.2.${guess}`;
}

function conflictText({ event, points: [a, b], joinedBy }: MapView['conflicts'][number]): string {
  return `Event ${event} says ${a} and ${b} are apart; they are joined by ${listOf(joinedBy)}. Read these again and strike the wrong one: strike N.`;
}

/** What a beeper cannot tell, and what would. */
function lowOhmLines(view: MapView, { width }: Style): string[] {
  const blind = view.lowOhm.filter(({ nets }) => nets < 2).flatMap(({ parts }) => parts);
  const seen = view.lowOhm.filter(({ nets }) => nets > 1).flatMap(({ parts }) => parts);
  return [
    ...(blind.length === 0
      ? []
      : wrap(
          `Both sides of ${listOf(blind)} beep alike, as such parts do, and stay one net. Pull or lift what comes off easily (lift ${blind[0]}), or write what an eye sees (A B joined).`,
          width,
        )),
    ...(seen.length === 0
      ? []
      : wrap(`Told apart by eye alone, as a part joins them: the nets of ${listOf(seen)}.`, width)),
  ];
}
