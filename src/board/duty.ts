/** What a part is there for, as far as the nets tell that it joins: alike from board to board. */
import type { Board, Part } from './model.ts';

/** From here on a rail is a high one, V: what fails across it fails otherwise than on logic. */
const HIGH_VOLTS = 60;

/** What a net is, by its rails and by what else sits on it. */
type NetSort =
  | 'ground'
  | 'high supply'
  | 'supply'
  | 'gate'
  | 'winding'
  | 'switched'
  | 'outside'
  | 'signal';

/**
 * The part's kind and the sorts of nets it joins: `n-mosfet at gate, ground, winding` is the switch of a
 * flyback, `schottky at supply, winding` a rectifier, `resistor at gate, signal` a gate resistor. Parts of
 * one duty fail alike on boards that have no name in common.
 */
export function dutyOf(board: Board, { kind, pins }: Part): string {
  const sorts = netSorts(board);
  const joined = new Set(pins.map((pin) => sorts[board.pins[pin]?.net ?? -1] ?? 'signal'));
  return `${kind.name} at ${[...joined].sort().join(', ')}`;
}

const held = new WeakMap<Board, readonly NetSort[]>();

/** By net. */
function netSorts(board: Board): readonly NetSort[] {
  const known = held.get(board);
  if (known !== undefined) return known;
  const found = new Map<number, NetSort>();
  // What is said first of a net stands.
  const say = (net: number | undefined, sort: NetSort): void => {
    if (net !== undefined && !found.has(net)) found.set(net, sort);
  };
  for (const { minus } of board.rails) say(minus, 'ground');
  for (const { plus, volts = 0 } of board.rails) {
    say(plus, volts >= HIGH_VOLTS ? 'high supply' : 'supply');
  }
  for (const sort of ['gate', 'winding', 'switched', 'outside'] as const) {
    for (const part of board.parts) {
      for (const pin of part.pins) {
        const { name, net } = board.pins[pin] ?? {};
        if (name !== undefined && sortAt(part, name) === sort) say(net, sort);
      }
    }
  }
  const sorts = board.nets.map(({ index }) => found.get(index) ?? 'signal');
  held.set(board, sorts);
  return sorts;
}

const COILS: ReadonlySet<string> = new Set(['transformer', 'inductor']);
/** Kinds that switch, by the pin that drives them. */
const DRIVEN: Readonly<Record<string, string>> = {
  'n-mosfet': 'G',
  'p-mosfet': 'G',
  igbt: 'G',
  scr: 'G',
  triac: 'G',
  npn: 'B',
  pnp: 'B',
};

/** What a pin of a part makes of its net; undefined: nothing. */
function sortAt({ kind }: Part, pin: string): NetSort | undefined {
  const drive = DRIVEN[kind.name];
  if (drive !== undefined) return pin === drive ? 'gate' : 'switched';
  if (COILS.has(kind.name)) return 'winding';
  return kind.name === 'connector' ? 'outside' : undefined;
}
