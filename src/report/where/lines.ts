import { mapLines } from '../picture/text.ts';
import type { Style } from '../style.ts';
import { listOf, sentence } from '../words.ts';
import { labelled, wrap } from '../wrap.ts';
import { SIGNS } from './corner.ts';
import type { SpotView, WhereView } from './view.ts';

const INDENT = 7;
/** A map stands on one screen, with the words above it. */
const MOST_ROWS = 13;

/** Where something is, in words and, where places are known, as a map of that corner. */
export function whereLines(view: WhereView, style: Style): string[] {
  const { width, palette } = style;
  const { title, spots, others, corner } = view;
  const head = wrap(title, width).map(palette.strong);
  if (spots.length === 0) {
    return [...head, ...wrap('No probe reaches it, by what was said in this job.', width)];
  }
  const isPart = spots.every(({ pad }) => pad === undefined);
  const label = isPart ? 'Pins' : 'Also';
  return [
    ...head,
    ...spots.flatMap((spot) => {
      const at = spot.at === undefined ? '' : `; x ${mm(spot.at[0])}, y ${mm(spot.at[1])} mm`;
      const side = spot.side === undefined ? '' : `, ${spot.side} side`;
      const name = spot.probe === undefined ? 'At' : sentence(spot.probe);
      return labelled(name, `${spotText(spot)}${at}${side}`, INDENT, width);
    }),
    ...(others.length === 0 ? [] : labelled(label, listOf(others, 40), INDENT, width)),
    ...(corner === undefined
      ? wrap('No map: too few places are known there.', width).map(palette.quiet)
      : ['', ...mapLines(corner, style, MOST_ROWS).lines, ...signLines(spots, style)]),
  ];
}

function spotText({ point, pad, text }: SpotView): string {
  return pad === undefined || point === pad || point === text ? text : `${point}: ${text}`;
}

function signLines(spots: readonly SpotView[], { width, palette }: Style): string[] {
  const hasProbes = spots.some(({ probe }) => probe !== undefined);
  const sought = hasProbes
    ? `${SIGNS.red} red probe, ${SIGNS.black} black probe`
    : `${SIGNS.sought} what is sought`;
  return labelled('Signs', `${sought}, · other parts, : where several`, INDENT, width).map(
    palette.quiet,
  );
}

function mm(value: number): string {
  return String(Number(value.toFixed(1)));
}
