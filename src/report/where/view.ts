import type { Board } from '../../board/model.ts';
import { padPlace } from '../../board/placed-board.ts';
import type { Point, Probe } from '../../circuit/reading.ts';
import type { Unreachable } from '../../faults/evidence.ts';
import { holdOf, type ProbePlace, probePlaceFor, probePlaces } from '../../job/probe-place.ts';
import { netName, partName, pinName, pointName } from '../names.ts';
import type { PictureView } from '../picture/model.ts';
import { viewCorner } from './corner.ts';
import { neighbourText, partPlace } from './neighbours.ts';

/** A place to put a probe, or to find a part, in names. */
export interface SpotView {
  /** Which probe goes there, when one does. */
  readonly probe?: 'red' | 'black';
  /** The point asked for: a net, a pin or a part. */
  readonly point: string;
  /** The pad itself: `Q3.D`; absent for a part as a whole. */
  readonly pad?: string;
  /** The place in words: `the tab of Q3 (Q3.D), between C2 and R9`. */
  readonly text: string;
  /** mm, and the side, where the board file or the job knows them. */
  readonly at?: readonly [number, number];
  readonly side?: 'top' | 'bottom';
}

/** Where things are: what is shown, and what `--json` prints. */
export interface WhereView {
  readonly title: string;
  readonly spots: readonly SpotView[];
  /** Other pads of the same net, the next best first. */
  readonly others: readonly string[];
  /** That corner of the board; absent where no place is known. */
  readonly corner?: PictureView;
}

/** A spot with the board's own numbers, for the drawing. */
export interface Spot {
  readonly view: SpotView;
  readonly part: number;
  readonly pin?: number;
}

/** Where both probes of a reading go; none for a part read in the hand. */
export function whereProbe(board: Board, probe: Probe, unreachable?: Unreachable): WhereView {
  if (probe.offPart !== undefined) return { title: '', spots: [], others: [] };
  const red = probePlaceFor(board, probe.red, unreachable);
  const near = red && padPlace(board, red.pin);
  const black = probePlaceFor(board, probe.black, unreachable, near);
  const spots = [
    ...(red === undefined ? [] : [padSpot(board, probe.red, red, 'red')]),
    ...(black === undefined ? [] : [padSpot(board, probe.black, black, 'black')]),
  ];
  const title = `${pointName(board, probe.red)} (red) and ${pointName(board, probe.black)} (black)`;
  return assembled(board, title, spots, []);
}

/** More pads of a net than this are not told. */
const MOST_OTHERS = 8;

/** Where a point is: the pin, or the handiest pad of the net with the next best ones. */
export function wherePoint(board: Board, point: Point, unreachable?: Unreachable): WhereView {
  const { net, pin } = point;
  const title = pointName(board, point);
  if (pin !== undefined) {
    return assembled(board, title, [padSpot(board, point, { pin, hold: holdOf(board, pin) })], []);
  }
  const [best, ...rest] = probePlaces(board, net, unreachable);
  const others = rest.slice(0, MOST_OTHERS).map((place) => pinName(board, place.pin));
  const spots = best === undefined ? [] : [padSpot(board, point, best)];
  return assembled(board, title, spots, others);
}

/** Where a part is, and the pads of its pins. */
export function wherePart(board: Board, part: number): WhereView {
  const found = board.parts[part];
  const name = partName(board, part);
  const at = partPlace(board, part);
  const beside = at === undefined ? '' : neighbourText(board, at, part);
  const facts = [found?.kind.title ?? '', beside].filter((text) => text !== '');
  const view: SpotView = {
    point: name,
    text: `${name}, ${facts.join(', ')}`,
    ...placed(board, at, part),
  };
  const pins = (found?.pins ?? []).map(
    (pin) => `${pinName(board, pin)} on ${netName(board, board.pins[pin]?.net ?? -1)}`,
  );
  return assembled(board, name, [{ view, part }], pins);
}

function assembled(
  board: Board,
  title: string,
  spots: readonly Spot[],
  others: readonly string[],
): WhereView {
  const corner = viewCorner(board, spots);
  const views = spots.map(({ view }) => view);
  return { title, spots: views, others, ...(corner === undefined ? {} : { corner }) };
}

function padSpot(
  board: Board,
  point: Point,
  { pin, hold }: ProbePlace,
  probe?: 'red' | 'black',
): Spot {
  const part = board.pins[pin]?.part ?? -1;
  const at = padPlace(board, pin);
  const beside = at === undefined ? '' : neighbourText(board, at, part);
  const text = [padText(board, part, pin, hold), beside].filter((each) => each !== '').join(', ');
  const view: SpotView = {
    ...(probe === undefined ? {} : { probe }),
    point: pointName(board, point),
    pad: pinName(board, pin),
    text,
    ...placed(board, at, part),
  };
  return { view, part, pin };
}

function padText(board: Board, part: number, pin: number, hold: ProbePlace['hold']): string {
  const name = pinName(board, pin);
  switch (hold) {
    case 'test point':
      return `test point ${partName(board, part)}`;
    case 'tab':
      return `the tab of ${partName(board, part)} (${name})`;
    default:
      return `${name}, a ${hold}`;
  }
}

function placed(
  board: Board,
  at: readonly [number, number] | undefined,
  part: number,
): Pick<SpotView, 'at' | 'side'> {
  if (at === undefined) return {};
  const side = board.parts[part]?.side;
  return { at, ...(side === undefined ? {} : { side }) };
}
