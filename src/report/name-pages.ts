import type { Board } from '../board/model.ts';
import { harmless } from '../board/shown-text.ts';
import { netName, pinName } from './names.ts';
import type { Style } from './style.ts';
import { counted, listOf } from './words.ts';
import { labelled } from './wrap.ts';

const INDENT = 12;
/** More pads of a net than this are counted. */
const MOST_PADS = 40;

/** What is on a net. */
export function netLines(board: Board, net: number, { width, palette }: Style): string[] {
  const { pins = [], points = [] } = board.nets[net] ?? {};
  const rails = board.rails
    .filter(({ plus, minus }) => plus === net || minus === net)
    .map(({ name, plus }) => `${plus === net ? 'plus' : 'minus'} of rail ${harmless(name)}`);
  const head = `${[netName(board, net), ...rails].join(', ')}: ${counted(pins.length, 'pad')}.`;
  const pads = pins.map((pin) => pinName(board, pin));
  return [
    ...labelled('', head, 0, width).map(palette.strong),
    ...(points.length === 0
      ? []
      : labelled('Probe at', listOf(points.map(harmless)), INDENT, width)),
    ...labelled('Pads', listOf(pads, MOST_PADS), INDENT, width),
  ];
}
