import fc from 'fast-check';
import { loadBoard } from '../../../src/board/load.ts';
import type { Board } from '../../../src/board/model.ts';

const PINS: Readonly<Record<string, readonly string[]>> = {
  resistor: ['1', '2'],
  ceramic: ['1', '2'],
  fuse: ['1', '2'],
  inductor: ['1', '2'],
  diode: ['A', 'K'],
  'n-mosfet': ['G', 'D', 'S'],
  'bridge-rectifier': ['plus', 'minus', 'AC1', 'AC2'],
};

const net = fc.integer({ min: 0, max: 14 });
const part = fc.oneof(
  fc.tuple(fc.constantFrom(...Object.keys(PINS)), fc.array(net, { minLength: 4, maxLength: 4 })),
  fc.tuple(fc.constantFrom('ic', 'connector'), fc.array(net, { minLength: 1, maxLength: 14 })),
  fc.tuple(fc.constant('jumper'), fc.array(net, { minLength: 2, maxLength: 2 })),
);

const NAMES = [
  'P48',
  'GND',
  'a',
  'VERY_LONG_NET_NAME_OF_AN_IMPORTED_BOARD_0123456789',
  '電源<&>"',
  'WWWWWWWW',
];

/** Boards of any kinds of part on up to fifteen nets, two rails among them. */
export const anyBoards: fc.Arbitrary<Board> = fc
  .tuple(fc.array(part, { minLength: 1, maxLength: 45 }), fc.boolean())
  .map(([parts, hasRail]) => boardOf(parts, hasRail));

function boardOf(parts: readonly [string, readonly number[]][], hasRail: boolean): Board {
  const name = (index: number): string => JSON.stringify(NAMES[index] ?? `N${index}`);
  const lines = parts.map(([kind, nets], i) => {
    const pins = PINS[kind] ?? nets.map((_, k) => String(k + 1));
    const text = pins.map((pin, k) => `${pin}: ${name(nets[k] ?? 0)}`).join(', ');
    const ohms = kind === 'resistor' ? ', ohms: 4.7' : '';
    return `  X${i}: {kind: ${kind}${ohms}, pins: {${text}}}`;
  });
  const used = new Set(parts.flatMap(([kind, nets]) => nets.slice(0, PINS[kind]?.length ?? 14)));
  const isRail = hasRail && used.has(0) && used.has(1);
  const rails = isRail ? [`rails:\n  main: {plus: ${name(0)}, minus: ${name(1)}, volts: 48}`] : [];
  return loadBoard(['board: any', ...rails, 'parts:', ...lines].join('\n'), 'any').board;
}
