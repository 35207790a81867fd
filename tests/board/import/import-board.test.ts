import fc from 'fast-check';
import { expect, test } from 'vitest';
import { InputError } from '../../../src/board/diagnostic.ts';
import { importBoard } from '../../../src/board/import/index.ts';
import { loadBoard } from '../../../src/board/load.ts';
import type { Board } from '../../../src/board/model.ts';
import { netlistOf, padLine } from './netlist-text.ts';

function imported(
  netlist: string,
  bom?: string,
): ReturnType<typeof importBoard> & { board: Board } {
  const result = importBoard({
    netlist: { text: netlist, file: 'some/net.ipc' },
    ...(bom === undefined ? {} : { bom: { text: bom, file: 'some/bom.csv' } }),
  });
  return { ...result, board: loadBoard(result.yaml, 'b.yaml').board };
}

function railsOf(board: Board): string[] {
  return board.rails.map(
    ({ plus, minus, volts }) =>
      `${board.nets[plus]?.name} / ${board.nets[minus]?.name} ${volts ?? '?'}`,
  );
}

test('supplies become rails, each against the ground its capacitors end on', () => {
  const { board } = imported(
    netlistOf(
      ...[
        'C1 +5V GND',
        'C2 +5V GND',
        'R1 +5V OUT',
        'R2 OUT GND',
        'C3 HV -HV',
        'C4 HV -HV',
        'C5 HV -HV',
      ],
      'R3 HV -HV',
    ),
  );
  expect(railsOf(board).toSorted()).toEqual(['+5V / GND 5', 'HV / -HV ?']);
});

test.each([
  ['+3V3', 3.3],
  ['12V_SW', 12],
  ['VDD_DDR_1V8', 1.8],
  ['1V05_S', 1.05],
  ['P48', 48],
  ['VBUS', '?'],
])('net %s is a rail of %s V', (net, volts) => {
  expect(railsOf(imported(netlistOf(`C1 ${net} GND`, `C2 ${net} GND`)).board)).toEqual([
    `${net} / GND ${volts}`,
  ]);
});

test('a negative supply is the minus of its rail', () => {
  expect(railsOf(imported(netlistOf('C1 -12V GND', 'C2 GND -12V')).board)).toEqual([
    'GND / -12V 12',
  ]);
});

test.each(['5V_EN', '3V3_PG', 'USB_D+', 'N$5', 'OUT'])('net %s is no rail', (net) => {
  expect(
    railsOf(imported(netlistOf(`C1 ${net} GND`, `R1 ${net} GND`, 'R2 GND X', 'R3 X GND')).board),
  ).toEqual([]);
});

test('several capacitors make a rail of a net whose name says nothing', () => {
  const parts = [1, 2, 3].map((n) => `C${n} N$5 GND`);
  expect(railsOf(imported(netlistOf(...parts)).board)).toEqual(['N$5 / GND ?']);
});

test('each rail says why in a comment', () => {
  expect(imported(netlistOf('C1 +5V GND')).yaml).toContain(
    '# named as a supply, 1 capacitor to GND',
  );
});

test('the head of the file tells where it came from and what to check', () => {
  const { yaml, summary } = imported(netlistOf('R1 A B', 'D1 A B'), 'ref,value\nR1,10k\nD1,1N4148');
  expect(yaml).toMatch(/^# Imported from net\.ipc and bom\.csv\.\n/);
  expect(summary).toMatchObject({ parts: 2, told: 1, guessed: 1, unknown: 0, leftOut: 0 });
});

test('names a board file cannot hold are changed, kept apart, and reported', () => {
  const netlist = [
    'P  NNAME1 /Power supply/IN',
    'P  NNAME2 /Power_supply/IN',
    padLine({ part: 'R1', pin: '1', net: 'NNAME1' }),
    padLine({ part: 'R1', pin: '2', net: 'NNAME2' }),
    padLine({ part: 'GND', pin: '1', net: 'GND' }),
    padLine({ part: 'R2', pin: '1', net: 'GND' }),
    padLine({ part: 'R2', pin: '2', net: 'NNAME1' }),
    padLine({ part: 'R.3', pin: '1', net: 'NNAME2' }),
    padLine({ part: 'R.3', pin: '2', net: 'quiet' }),
    padLine({ part: 'R4', pin: '1', net: 'quiet' }),
    padLine({ part: 'R4', pin: '2', net: 'R2.1' }),
    padLine({ part: 'R5', pin: '1', net: 'R2.1' }),
    padLine({ part: 'R5', pin: '2', net: '[x]{y}#,:' }),
    padLine({ part: 'R6', pin: '1', net: '[x]{y}#,:' }),
    padLine({ part: 'R6', pin: '2', net: 'GND' }),
    '999',
  ].join('\n');
  const { board, warnings } = imported(netlist);
  expect([...board.netNamed.keys()].toSorted()).toEqual(
    ['/Power_supply/IN', '/Power_supply/IN_2', 'GND', 'R2.1_net', '[x]{y}#,:', 'quiet_'].toSorted(),
  );
  expect(board.partNamed.has('GND_part')).toBe(true);
  expect(board.partNamed.has('R_3')).toBe(true);
  expect(warnings.map(({ code }) => code)).toContain('RENAMED');
});

test('parts the bill says are not fitted are left out', () => {
  const { board, warnings, summary } = imported(
    netlistOf('R1 A B', 'R2 A B'),
    'ref,value\nR1,10k\nR2,DNP',
  );
  expect([...board.partNamed.keys()]).toEqual(['R1']);
  expect(summary.leftOut).toBe(1);
  expect(warnings.map(({ message }) => message)).toContain('1 left out, not fitted: R2');
});

test('a name cut to six characters is matched with the bill', () => {
  const { board, warnings } = imported(
    netlistOf('C_star A B', 'R1 A B'),
    'ref,value\nC_start1,10u\nR1,1k',
  );
  expect(board.partNamed.get('C_start1')?.farads).toBeCloseTo(10e-6);
  expect(warnings.map(({ code }) => code)).toContain('NAME_CUT');
});

test('two parts whose names differ in capitals stay two', () => {
  const netlist = netlistOf('Q1 G D S', 'q1 G D S', 'r2 G D');
  const { board } = imported(netlist, 'ref,value\nQ1,IRF540\nR2,10k\n');
  expect(board.parts.map(({ name }) => name)).toEqual(['q1', 'Q1', 'R2']);
});

test('a suppressor for both ways has no cathode', () => {
  const { board } = imported(netlistOf('D1 A B', 'C1 A B'), 'ref,value\nD1,SMBJ24CA\nC1,1u\n');
  const part = board.partNamed.get('D1');
  expect(part?.kind.name).toBe('two-way-suppressor');
  expect(part?.pins.map((pin) => board.pins[pin]?.name)).toEqual(['1', '2']);
});

test('a part the bill does not list says so', () => {
  const { board } = imported(netlistOf('R1 A B', 'R2 A B'), 'ref,value\nR1,10k');
  expect(board.partNamed.get('R2')?.guesses).toContain('not in the bill of materials');
});

test('pins alone on their net are left out of blocks, and a fixed pin gets a net of its own', () => {
  const { board } = imported(netlistOf('U1 A LONE B', 'R1 A B', 'R2 A N/C'));
  expect(board.partNamed.get('U1')?.pins).toHaveLength(2);
  expect(board.netNamed.has('NC_R2_2')).toBe(true);
});

test('pin and part positions are kept in mm', () => {
  const { board } = imported(netlistOf('R1 A B', 'R2 B A'));
  const part = board.partNamed.get('R1');
  expect(part?.at).toEqual([1.27, 0.51]);
  expect(part?.pins.map((pin) => board.pins[pin]?.at)).toEqual([
    [0, 0.51],
    [2.54, 0.51],
  ]);
});

test.each([
  '',
  'hello',
  '999',
  'P  UNITS CUST 0\n317GND              VIA         D0157PA00X+0Y+0\n999',
])('a file without parts is refused in words: %j', (text) => {
  expect(() => importBoard({ netlist: { text, file: 'x' } })).toThrow(InputError);
});

test('a netlist that joins nothing still becomes a board', () => {
  const { board, warnings } = imported(netlistOf('J1 A B', 'U1 N/C N/C'));
  expect([...board.partNamed.keys()]).toEqual(['J1', 'U1']);
  expect(warnings.map(({ code }) => code)).toContain('NOTHING_JOINED');
});

const SEED_NETLIST = [
  'P  UNITS CUST 0',
  'P  NNAME1 A_LONG_NAME_FOR_A_NET',
  ...netlistOf(
    'Q1 G D S',
    'C1 D GND',
    'U1 GND D G S',
    'R1 G NNAME1',
    'D1 NNAME1 GND',
    'T1 G D S GND',
  ).split('\n'),
].join('\n');
const SEED_BOM =
  'ref,value,footprint\nQ1,IRF540,TO-220\nC1,10u 50V,CP_x\nU1,"PC817",DIP-4\nR1,4k7 1%,0603\n';

const REFUSALS =
  'NO_NETLIST NO_RECORDS NO_PARTS NO_PART_COLUMN NO_PIN_COLUMNS OPEN_QUOTE TOO_FEW_NODES'.split(
    ' ',
  );

/** Either a board file that loads, or a refusal in words. */
function importsOrRefuses(netlist: string, bom: string): void {
  try {
    const { yaml } = importBoard({
      netlist: { text: netlist, file: 'n' },
      bom: { text: bom, file: 'b' },
    });
    loadBoard(yaml, 'b.yaml');
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    expect(REFUSALS).toContain(error.diagnostics[0]?.code);
  }
}

test('cut short anywhere, the netlist still gives a board that loads or a refusal', () => {
  for (let end = 0; end < SEED_NETLIST.length; end += 7) {
    importsOrRefuses(SEED_NETLIST.slice(0, end), SEED_BOM);
  }
}, 60_000);

test('with any characters changed, it still gives a board that loads or a refusal', () => {
  const damage = fc.array(
    fc.record({
      at: fc.nat(),
      with: fc.oneof(fc.string({ maxLength: 2 }), fc.string({ unit: 'binary', maxLength: 2 })),
    }),
    { maxLength: 12 },
  );
  const spoil = (text: string, changes: readonly { at: number; with: string }[]): string =>
    changes.reduce((all, { at, with: put }) => {
      const place = at % (all.length + 1);
      return all.slice(0, place) + put + all.slice(place + 1);
    }, text);
  fc.assert(
    fc.property(damage, damage, (first, second) => {
      importsOrRefuses(spoil(SEED_NETLIST, first), spoil(SEED_BOM, second));
    }),
    { numRuns: 300 },
  );
}, 60_000);

test('any text at all gives a board that loads or a refusal', () => {
  const text = fc.string({ unit: 'binary', maxLength: 400 });
  fc.assert(fc.property(text, text, importsOrRefuses), { numRuns: 200 });
}, 60_000);

test('names made of anything become names that load', () => {
  const name = fc.string({ unit: 'grapheme', minLength: 1, maxLength: 6 });
  const net = fc.string({ unit: 'grapheme', minLength: 1, maxLength: 12 });
  const pads = fc.array(fc.tuple(name, name, net), { minLength: 1, maxLength: 12 });
  fc.assert(
    fc.property(pads, (list) => {
      const lines = list.map(([part, pin, on]) => padLine({ part, pin: pin.slice(0, 4), net: on }));
      importsOrRefuses([...lines, '999'].join('\n'), SEED_BOM);
    }),
    { numRuns: 300 },
  );
}, 60_000);

test('lines of any length are read in linear time', () => {
  const long = [' ', 'X', 'X ', '-', '9', '(', 'X+1Y'].map((word) =>
    word.repeat(200_000 / word.length),
  );
  const start = performance.now();
  for (const tail of long) {
    importsOrRefuses(
      `327GND              R1    -1   ${tail}\nP  NNAME1 ${tail}\n999`,
      `ref,value\nR1,${tail}`,
    );
  }
  expect(performance.now() - start).toBeLessThan(15_000);
}, 60_000);
