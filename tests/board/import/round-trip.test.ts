import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { expandDesignators } from '../../../src/board/import/designators.ts';
import { importBoard } from '../../../src/board/import/index.ts';
import { NetlistIntake } from '../../../src/board/import/netlist-intake.ts';
import { readLines } from '../../../src/board/import/text-lines.ts';
import { loadBoard } from '../../../src/board/load.ts';
import {
  chances,
  deckWirings,
  type IpcDialect,
  type Wiring,
  wirings,
  writeDeck,
  writeIpc,
  writePinList,
} from './writers.ts';

type Named = (part: string) => string;
const asWritten: Named = (part) => part;

/** Pins that are joined, as sorted lists; a net with one pin joins nothing. */
function joined(wiring: Wiring, named: Named): string[] {
  const groups = new Map<string, string[]>();
  for (const { name, pins } of wiring.parts) {
    for (const pin of pins) {
      if (pin.net === undefined) continue;
      groups.set(pin.net, [...(groups.get(pin.net) ?? []), `${named(name)}.${pin.name}`]);
    }
  }
  return [...groups.values()]
    .filter((pins) => pins.length > 1)
    .map((pins) => pins.toSorted().join(' '))
    .toSorted();
}

function readBack(text: string, file: string): Wiring {
  return { parts: readLines(text, file, new NetlistIntake(file)).parts };
}

/** The board that comes of it, loaded; pins are told apart as the netlist named them. */
function expectBoardJoins(text: string, wiring: Wiring): void {
  const groups = joined(wiring, asWritten);
  if (groups.length === 0) return;
  const { yaml } = importBoard({ netlist: { text, file: 'n' } });
  const { board } = loadBoard(yaml, 'b.yaml');
  const shared = board.nets.filter(({ pins }) => pins.length > 1).length;
  // Pads of one part that touch one net may have become one pin: nets within one part may go.
  const within = groups.filter(
    (pins) => new Set(pins.split(' ').map((pin) => pin.replace(/\.[^.]*$/, ''))).size === 1,
  );
  expect(shared).toBeLessThanOrEqual(groups.length);
  expect(shared).toBeGreaterThanOrEqual(groups.length - within.length);
}

test('a rail is called by no word that a board file refuses', () => {
  const rows = ['C1', 'C2', 'C3'].map((part) => `${part},1,constructor\n${part},2,GND`);
  const text = `part,pin,net\n${rows.join('\n')}\nJ1,1,constructor\nJ1,2,GND\n`;
  const { yaml } = importBoard({ netlist: { text, file: 'n.csv' } });
  const { board } = loadBoard(yaml, 'b.yaml');
  expect(board.rails.map(({ name }) => name)).toEqual(['constructor_']);
});

describe('what a netlist joins comes back the same', () => {
  const dialects: readonly [string, IpcDialect, { net: number; part: number }][] = [
    ['short names', { aliases: 'none', pushes: false }, { net: 14, part: 6 }],
    ['long names by alias', { aliases: 'alone', pushes: false }, { net: 40, part: 6 }],
    [
      'long names by keyword and alias',
      { aliases: 'with keyword', pushes: false },
      { net: 40, part: 6 },
    ],
    [
      'designators that push the rest aside',
      { aliases: 'none', pushes: true },
      { net: 14, part: 14 },
    ],
  ];
  test.each(dialects)('from IPC-D-356 with %s', (_, dialect, most) => {
    fc.assert(
      fc.property(wirings(most), chances, (wiring, chance) => {
        const text = writeIpc(wiring, dialect, chance);
        const back = readBack(text, 'n.ipc');
        expect(joined(back, asWritten)).toEqual(joined(wiring, asWritten));
        expectBoardJoins(text, wiring);
      }),
      { numRuns: 150 },
    );
  });

  test('from a pin list', () => {
    fc.assert(
      fc.property(wirings({ net: 40, part: 14 }), chances, (wiring, chance) => {
        const text = writePinList(wiring, chance);
        expect(joined(readBack(text, 'n.csv'), asWritten)).toEqual(joined(wiring, asWritten));
        expectBoardJoins(text, wiring);
      }),
      { numRuns: 200 },
    );
  });

  test('from a deck', () => {
    // A designator within the name of a call comes out; any other name keeps its letter.
    const called: Named = (part) => (/^[A-Z]{1,4}\d+[A-Z]?$/i.test(part) ? part : `X${part}`);
    fc.assert(
      fc.property(deckWirings(), chances, (wiring, chance) => {
        const text = writeDeck(wiring, chance);
        expect(joined(readBack(text, 'n.cir'), asWritten)).toEqual(joined(wiring, called));
        expectBoardJoins(text, wiring);
      }),
      { numRuns: 200 },
    );
  });
});

test('a deck drawn in pieces joins what the same deck drawn whole does', () => {
  const element = fc.record({ a: fc.nat(7), b: fc.nat(7), inside: fc.boolean() });
  fc.assert(
    fc.property(fc.array(element, { minLength: 1, maxLength: 14 }), (elements) => {
      const used = (inside: boolean): Set<number> =>
        new Set(elements.filter((each) => each.inside === inside).flatMap(({ a, b }) => [a, b]));
      const [inner, outer] = [used(true), used(false)];
      // Node 0 is ground in the piece too; three ports, or it would be taken as the model of a part.
      const ports = [...inner].filter((net) => net > 0 && outer.has(net));
      const spare = [90, 91, 92].slice(0, Math.max(0, 3 - ports.length));
      const line = ({ a, b }: { a: number; b: number }, at: number): string =>
        `R${at} ${a} ${b} 1k`;
      const lines = elements.map(line);
      const piece = lines.filter((_, at) => elements[at]?.inside);
      const rest = lines.filter((_, at) => !elements[at]?.inside);
      const nodes = [...ports, ...spare].join(' ');
      const whole = readBack(['t', ...lines].join('\n'), 'whole.cir');
      const cut = ['t', ...rest, `X1 ${nodes} piece`, `.subckt PIECE ${nodes}`, ...piece, '.ends'];
      const drawn = piece.length === 0 ? whole : readBack(cut.join('\n'), 'cut.cir');
      const named: Named = (part) => part.replace(/^X1_/, '');
      expect(joined(drawn, named)).toEqual(joined(whole, asWritten));
    }),
  );
});

test('lists of designators come back from ranges of every spelling', () => {
  const run = fc.record({
    letters: fc.constantFrom('R', 'C', 'LED', 'TP'),
    from: fc.nat(400),
    span: fc.nat(12),
    style: fc.nat(5),
    gap: fc.constantFrom(', ', ',', ' ', '; ', ' & ', '\n'),
  });
  fc.assert(
    fc.property(fc.array(run, { minLength: 1, maxLength: 6 }), (runs) => {
      const wanted = runs.flatMap(({ letters, from, span }) =>
        Array.from({ length: span + 1 }, (_, at) => `${letters}${from + at}`),
      );
      const text = runs
        .map(({ letters, from, span, style, gap }) => {
          const to = from + span;
          const forms = [
            `-${letters}${to}`,
            `-${to}`,
            ` - ${letters}${to}`,
            ` – ${to}`,
            ` to ${letters}${to}`,
            `...${letters}${to}`,
          ];
          return `${letters}${from}${span === 0 ? '' : forms[style]}${gap}`;
        })
        .join('');
      expect(expandDesignators(text)).toEqual(wanted);
    }),
  );
});
