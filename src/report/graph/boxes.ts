import type { Board, Part } from '../../board/model.ts';
import { harmless } from '../../board/shown-text.ts';
import { formatFarads, formatOhms, formatQuantity, formatVolts } from '../../board/units.ts';
import { partNames } from '../names.ts';
import { compareNames, runsOf } from '../words.ts';
import { GLUE } from '../wrap.ts';
import type { GraphBox } from './model.ts';
import { netsOf } from './power-side.ts';

/** Parts drawn as one box: alike, or all across the same two nets without a sense of their own. */
export interface Cluster {
  readonly parts: readonly Part[];
  /** Drawn nets, in the order of the first part's pins. */
  readonly nets: readonly number[];
  /** Pin names on each of those nets, where all parts of it have the same. */
  readonly pins: ReadonlyMap<number, string>;
  readonly what: 'part' | 'jumper';
}

/** They lie across two nets whichever way round; one box tells them all. */
const ACROSS = new Set(
  'resistor varistor ceramic film electrolytic tantalum suppressor two-way-suppressor test-point'.split(
    ' ',
  ),
);

/** Groups the drawn parts; every part is in one group. */
export function clustersOf(
  board: Board,
  parts: ReadonlySet<number>,
  nets: ReadonlySet<number>,
  alone?: number,
): Cluster[] {
  const groups = new Map<string, Part[]>();
  for (const index of parts) {
    const part = board.parts[index];
    if (part === undefined) continue;
    const key = index === alone ? `only ${index}` : keyOf(board, part, nets);
    groups.set(key, [...(groups.get(key) ?? []), part]);
  }
  return [...groups.values()].map((group) => clusterOf(board, group, nets));
}

function keyOf(board: Board, part: Part, nets: ReadonlySet<number>): string {
  const own = netsOf(board, part, nets);
  const isWhole = part.pins.every((pin) => nets.has(board.pins[pin]?.net ?? -1));
  if (ACROSS.has(part.kind.name) && own.length <= 2 && isWhole) {
    return `across ${own.toSorted((a, b) => a - b).join(' ')}`;
  }
  // A connector, or a chip, is looked for by its own name.
  if (part.kind.pins.length === 0 || part.kind.link) return `only ${part.index}`;
  const at = part.pins.map((pin) => board.pins[pin]?.net ?? -1);
  const shown = at.map((net) => (nets.has(net) ? net : '-'));
  const ends = part.kind.symmetric ? shown.toSorted() : shown;
  return `${part.kind.name} ${ends.join(' ')}`;
}

function clusterOf(board: Board, group: readonly Part[], nets: ReadonlySet<number>): Cluster {
  const parts = group.toSorted((a, b) => compareNames(a.name, b.name));
  const [first] = parts;
  const own = first === undefined ? [] : netsOf(board, first, nets);
  const pins = new Map<number, string>();
  for (const net of own) {
    const names = new Set(parts.map((part) => pinsOn(board, part, net)));
    const [name = ''] = names;
    if (names.size === 1 && name !== '') pins.set(net, name);
  }
  return { parts, nets: own, pins, what: first?.kind.link === true ? 'jumper' : 'part' };
}

/** A pin list on a line has to stay short. */
const MOST_PINS = 3;

function pinsOn(board: Board, part: Part, net: number): string {
  if (part.kind.symmetric || part.kind.name === 'test-point') return '';
  const names = part.pins.flatMap((pin) => {
    const at = board.pins[pin];
    return at?.net === net ? [harmless(at.name)] : [];
  });
  const rest = names.length - MOST_PINS;
  return [...names.slice(0, MOST_PINS), ...(rest > 0 ? [`+${rest}`] : [])].join(' ');
}

/** Each kind of part in it: names, and what they are. */
export function textsOf(board: Board, { parts }: Cluster): GraphBox['texts'] {
  const kinds = new Map<string, Part[]>();
  for (const part of parts) kinds.set(part.kind.name, [...(kinds.get(part.kind.name) ?? []), part]);
  return [...kinds.values()].map((alike) => {
    const numbers = alike.map(({ index }) => index);
    const count = alike.length > 1 ? `${alike.length}${GLUE}× ` : '';
    const title = harmless(alike[0]?.kind.title ?? '');
    return {
      names: runsOf(partNames(board, numbers), Number.POSITIVE_INFINITY),
      what: [`${count}${title}`, ...commonValue(alike)].join(', '),
    };
  });
}

/** The value all of them have. */
function commonValue(parts: readonly Part[]): string[] {
  const values = new Set(parts.map(valueText));
  const [value = ''] = values;
  if (values.size !== 1 || value === '') return [];
  return [parts.length > 1 ? `${value} each` : value];
}

function valueText({ ohms, farads, henries, volts, partNumber }: Part): string {
  const texts = [
    ...(ohms === undefined ? [] : [formatOhms(ohms)]),
    ...(farads === undefined ? [] : [formatFarads(farads)]),
    ...(henries === undefined ? [] : [formatQuantity(henries, 'H')]),
    ...(volts === undefined ? [] : [formatVolts(volts)]),
    ...(partNumber === undefined ? [] : [harmless(partNumber)]),
  ];
  return texts.map((text) => text.replaceAll(' ', GLUE)).join(' ');
}

/** In how many boxes each net is. */
export function countsOf(clusters: readonly Cluster[]): ReadonlyMap<number, number> {
  const counts = new Map<number, number>();
  for (const { nets } of clusters) {
    for (const net of nets) counts.set(net, (counts.get(net) ?? 0) + 1);
  }
  return counts;
}
