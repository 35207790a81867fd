import type { Board } from '../board/model.ts';
import { harmless } from '../board/shown-text.ts';
import { handyPlace } from '../job/handy-place.ts';
import type { ReferenceProbe } from '../job/reference.ts';
import type { Style } from './style.ts';
import { counted } from './words.ts';
import { labelled, wrap } from './wrap.ts';

/** One reading to take, in names and places. */
export interface ReferenceProbeView {
  readonly red: string;
  readonly redAt: string;
  readonly black: string;
  readonly blackAt: string;
  readonly mode: 'ohms' | 'diode';
}

/** A table of readings of a good board under way. */
export interface ReferenceView {
  readonly board: string;
  readonly ground: string;
  readonly taken: number;
  readonly left: number;
  readonly next: ReferenceProbeView | null;
}

/** What is read next of a good board, and how much is left. */
export function viewReference(
  board: Board,
  ground: number,
  taken: number,
  left: readonly ReferenceProbe[],
): ReferenceView {
  const [next] = left;
  return {
    board: harmless(board.name),
    ground: harmless(board.nets[ground]?.name ?? ''),
    taken,
    left: left.length,
    next: next === undefined ? null : viewProbe(board, next),
  };
}

function viewProbe(board: Board, { red, black, mode }: ReferenceProbe): ReferenceProbeView {
  const at = (net: string): string =>
    harmless(handyPlace(board, board.netNamed.get(net)?.index ?? -1));
  return { red: harmless(red), redAt: at(red), black: harmless(black), blackAt: at(black), mode };
}

/** What to read next of a good board, and how far its table has come. */
export function referenceLines(view: ReferenceView, { width, palette }: Style): string[] {
  const head = wrap(
    `${counted(view.taken, 'reading')} of a good ${view.board} against ${view.ground}; ${view.left} to go.`,
    width,
  );
  if (view.next === null) return [...head, ...wrap('The table is complete.', width)];
  return [...head, ...probeLines(view.next, { width, palette })];
}

/** `Red on P48 (C2.plus), black on GND (J1.2): ohms.` */
export function probeLines(next: ReferenceProbeView, { width, palette }: Style): string[] {
  const { red, redAt, black, blackAt, mode } = next;
  const what = mode === 'ohms' ? 'ohms' : 'diode test';
  const text = `Red on ${place(red, redAt)}, black on ${place(black, blackAt)}: ${what}.`;
  return labelled('Next', text, 7, width).map(palette.strong);
}

function place(net: string, at: string): string {
  return at === '' || at === net ? net : `${net} (${at})`;
}
