import type { Board, Part } from '../../board/model.ts';

/** What of a board is drawn: parts, and the nets they are drawn on; all by number. */
export interface Drawn {
  readonly parts: ReadonlySet<number>;
  readonly nets: ReadonlySet<number>;
}

/** Above this a resistance feeds nothing that counts as power. */
const MOST_OHMS = 10;

/** Pins between which a kind carries the current of a stage; all others carry signals. */
const CARRIES: Readonly<Record<string, readonly (readonly [string, string])[]>> = {
  'n-mosfet': [['D', 'S']],
  'p-mosfet': [['D', 'S']],
  igbt: [['C', 'E']],
  npn: [['C', 'E']],
  pnp: [['C', 'E']],
  scr: [['A', 'K']],
  triac: [['T1', 'T2']],
  diode: [['A', 'K']],
  schottky: [['A', 'K']],
  regulator: [['IN', 'OUT']],
  'bridge-rectifier': [
    ['AC1', 'plus'],
    ['AC2', 'minus'],
    ['AC1', 'AC2'],
  ],
};

/** Two ends, and hardly anything between them. */
const THROUGH = new Set(['jumper', 'fuse', 'inductor', 'bead', 'resistor', 'thermistor']);

/** Nets of the rails, and all that power reaches from them; the parts that lie on two such nets or more. */
export function powerSide(board: Board): Drawn {
  const nets = new Set(board.rails.flatMap(({ plus, minus }) => [plus, minus]));
  const waiting = [...nets];
  for (let net = waiting.pop(); net !== undefined; net = waiting.pop()) {
    for (const pin of board.nets[net]?.pins ?? []) {
      const part = board.parts[board.pins[pin]?.part ?? -1];
      for (const next of part === undefined ? [] : carriedTo(board, part, net)) {
        if (nets.has(next)) continue;
        nets.add(next);
        waiting.push(next);
      }
    }
  }
  const parts = board.parts.filter((part) => netsOf(board, part, nets).length > 1);
  return { parts: new Set(parts.map(({ index }) => index)), nets };
}

/** Nets of a part among the drawn ones, each once, in the order of its pins. */
export function netsOf(board: Board, part: Part, nets: ReadonlySet<number>): number[] {
  const all = part.pins.map((pin) => board.pins[pin]?.net ?? -1).filter((net) => nets.has(net));
  return [...new Set(all)];
}

function carriedTo(board: Board, part: Part, from: number): number[] {
  const at = new Map(part.pins.map((pin) => [board.pins[pin]?.name ?? '', board.pins[pin]?.net]));
  const pairs: (readonly [number | undefined, number | undefined])[] = [
    ...(CARRIES[part.kind.name] ?? []).map(([a, b]) => [at.get(a), at.get(b)] as const),
    ...part.windings.map(({ pins: [a, b] }) => [board.pins[a]?.net, board.pins[b]?.net] as const),
  ];
  const ohms = part.ohms ?? part.kind.typicalOhms ?? Number.POSITIVE_INFINITY;
  if (THROUGH.has(part.kind.name) && ohms <= MOST_OHMS) {
    pairs.push([board.pins[part.pins[0] ?? -1]?.net, board.pins[part.pins[1] ?? -1]?.net]);
  }
  return pairs.flatMap(([a, b]) => {
    if (a === undefined || b === undefined) return [];
    if (a === from) return [b];
    return b === from ? [a] : [];
  });
}
