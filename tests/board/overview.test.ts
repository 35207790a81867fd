import { describe, expect, test } from 'vitest';
import { boardWarnings } from '../../src/board/board-warnings.ts';
import { loadBoard } from '../../src/board/load.ts';
import type { Board } from '../../src/board/model.ts';
import { overview } from '../../src/board/overview.ts';

const load = (text: string): Board => loadBoard(text, 'b.yaml').board;

const BOARD = load(`board: Pump drive
revision: B
rails:
  bus: {plus: P24, minus: GND, volts: 24}
  logic: {plus: P5, minus: GND, volts: 5}
parts:
  Q1: {kind: n-mosfet, pins: {G: G1, D: P24, S: OUT}, heatsink: main, bank: high}
  Q2: {kind: n-mosfet, pins: {G: G1, D: P24, S: OUT}, heatsink: main, bank: high}
  Q3: {kind: n-mosfet, pins: {G: G2, D: OUT, S: GND}, heatsink: main}
  Q4: {kind: n-mosfet, pins: {G: G2, D: OUT, S: GND}, heatsink: rear, guess: [pin order]}
  R1: {kind: resistor, ohms: 10, pins: [G1, G2]}
  C1: {kind: ceramic, farads: 100n, pins: [P24, GND]}
  C2: {kind: electrolytic, farads: 470u, pins: {plus: P24, minus: GND}}
  C3: {kind: ceramic, pins: [GND, P24]}
  C4: {kind: ceramic, farads: 1n, pins: [P24, P5]}
  T1: {kind: transformer, pins: {1: P24, 2: OUT, 3: S1, 4: S2}, windings: {a: {pins: [1, 2], ohms: 1}, b: {pins: [3, 4], ohms: 1}}}
  U1: {kind: ic, pins: {1: P5, 2: GND}}
  TP1: {kind: test-point, pins: [PROBE]}
jumpers:
  W1: [S1, S3]
`);

const seen = overview(BOARD);
const parts = (numbers: readonly number[]): string[] =>
  numbers.map((n) => BOARD.parts[n]?.name ?? '');
const nets = (numbers: readonly number[]): string[] =>
  numbers.map((n) => BOARD.nets[n]?.name ?? '').sort();

describe('overview', () => {
  test('counts parts by kind, most frequent first', () => {
    expect(seen.counts).toMatchObject({ parts: 13, nets: 10, jumpers: 1 });
    expect(seen.counts.kinds[0]).toEqual({ kind: 'n-mosfet', count: 4 });
    expect(seen.counts.kinds.reduce((sum, { count }) => sum + count, 0)).toBe(13);
  });

  test('adds up the capacitors of each rail, whichever way round they stand', () => {
    const [bus, logic] = seen.rails;
    expect(parts(bus?.capacitors ?? [])).toEqual(['C1', 'C2', 'C3']);
    expect(bus?.farads).toBeCloseTo(470.1e-6, 12);
    expect(logic).toMatchObject({ capacitors: [], farads: 0 });
  });

  test('lists banks as declared, and parallel parts nobody declared', () => {
    expect(seen.banks.map((b) => [b.name, parts(b.parts)])).toEqual([['high', ['Q1', 'Q2']]]);
    expect(seen.parallel.map((g) => [g.kind, parts(g.parts)])).toEqual([
      ['n-mosfet', ['Q3', 'Q4']],
      ['ceramic', ['C1', 'C3']],
    ]);
  });

  test('islands hang together through resistances, windings and junctions, not capacitors', () => {
    expect(seen.islands.map((island) => nets(island.nets))).toEqual([
      ['GND', 'OUT', 'P24'],
      ['S1', 'S2', 'S3'],
      ['G1', 'G2'],
      ['P5'],
      ['PROBE'],
    ]);
    expect(BOARD.nets[seen.islands[0]?.biggest[0] ?? -1]?.name).toBe('P24');
  });

  test('groups parts by heatsink and gathers guesses', () => {
    expect(seen.heatsinks.map((h) => [h.name, parts(h.parts)])).toEqual([
      ['main', ['Q1', 'Q2', 'Q3']],
      ['rear', ['Q4']],
    ]);
    expect(seen.guesses.map((g) => [parts([g.part])[0], g.guesses])).toEqual([
      ['Q4', ['pin order']],
    ]);
  });

  test('stays quick on a big board', () => {
    const lines = Array.from(
      { length: 5000 },
      (_, i) =>
        `  R${i}: {kind: resistor, ohms: 1, pins: [SIGNAL_NET_${i}, SIGNAL_NET_${i + 1}]}\n`,
    );
    const big = load(`board: b\nparts:\n${lines.join('')}`);
    const start = performance.now();
    expect(overview(big).islands).toHaveLength(1);
    expect(performance.now() - start).toBeLessThan(2000);
  });
});

describe('board warnings', () => {
  const codes = (text: string): string[] =>
    boardWarnings(load(text)).map((w) => `${w.place?.line} ${w.code}`);
  const two =
    'board: b\nparts:\n  R1: {kind: resistor, ohms: 1, pins: [AAAA, BBBB]}\n  R2: {kind: resistor, ohms: 1, pins: [AAAA, BBBB]}\n';

  test('say nothing of a board in order', () => {
    expect(codes(two)).toEqual([]);
  });

  test('name a part with every pin on one net, but not a connector', () => {
    expect(codes(`${two}  R3: {kind: resistor, ohms: 1, pins: [AAAA, AAAA]}\n`)).toEqual([
      '5 PART_ON_ONE_NET',
    ]);
    expect(codes(`${two}  J3: {kind: connector, pins: [AAAA, AAAA]}\n`)).toEqual([]);
  });

  test('name a jumper across one net', () => {
    expect(codes(`${two}jumpers:\n  W1: [AAAA, AAAA]\n`)).toEqual(['6 JUMPER_ON_ONE_NET']);
  });

  test('name a net with one pin, but not a test point or a pad that goes nowhere', () => {
    expect(codes(`${two}  R3: {kind: resistor, ohms: 1, pins: [AAAA, XYZ]}\n`)).toEqual([
      '5 NET_WITH_ONE_PIN',
    ]);
    for (const net of ['NC', 'N/C', 'NC_3', 'nc7', 'unconnected-(U1-Pad3)', 'NO_CONNECT_1']) {
      expect(codes(`${two}  R3: {kind: resistor, ohms: 1, pins: [AAAA, ${net}]}\n`)).toEqual([]);
    }
    expect(codes(`${two}  R3: {kind: resistor, ohms: 1, pins: [AAAA, NCHG]}\n`)).toHaveLength(1);
    expect(codes(`${two}  TP3: {kind: test-point, pins: [XYZ]}\n`)).toEqual([]);
  });

  test('name a rail without capacitors', () => {
    expect(codes(`rails: {x: {plus: AAAA, minus: BBBB}}\n${two}`)).toEqual([
      '4 RAIL_WITHOUT_CAPACITOR',
    ]);
    expect(
      codes(
        `rails: {x: {plus: AAAA, minus: BBBB}}\n${two}  C1: {kind: ceramic, pins: [BBBB, AAAA]}\n`,
      ),
    ).toEqual([]);
  });

  /** Whether a net named once beside one named thrice is taken for a slip of the pen. */
  const isTwin = (slip: string, meant: string): boolean =>
    codes(
      `board: b\nparts:\n  J1: {kind: connector, pins: [${meant}, ${meant}, ${meant}, ${slip}]}\n`,
    ).some((code) => code.endsWith('NEAR_TWIN'));

  test.each([
    ['GND_SESNE', 'GND_SENSE'],
    ['gnd_sense', 'GND_SENSE'],
    ['GND-SENSE', 'GND_SENSE'],
    ['GND_SENS', 'GND_SENSE'],
    ['VCC_ANALGO', 'VCC_ANALOG'],
    ['SIGANL', 'SIGNAL'],
    ['SIGMAL', 'SIGNAL'],
  ])('take %s for a slip of %s', (slip, meant) => {
    expect(isTwin(slip, meant)).toBe(true);
  });

  test.each([
    ['OUT1', 'OUT2'],
    ['OUT_U', 'OUT_V'],
    ['SW', 'SW_A'],
    ['P3V3', 'P5V'],
    ['USB_DP', 'USB_DM'],
    ['CAN+', 'CAN-'],
    ['SN_U', 'SH_U'],
    ['RESET', 'ENABLE'],
    ['GATE_HIGH', 'GATE_LOW'],
  ])('do not take %s for a slip of %s', (one, other) => {
    expect(isTwin(one, other)).toBe(false);
  });

  test('two pins make a slip only when nothing but case and punctuation differs', () => {
    const pair = (slip: string): string[] =>
      codes(
        `board: b\nparts:\n  J1: {kind: connector, pins: [SIGNAL_A, SIGNAL_A, SIGNAL_A, ${slip}, ${slip}]}\n`,
      );
    expect(pair('signal-a')).toEqual(['3 NEAR_TWIN']);
    expect(pair('SIGMAL_A')).toEqual([]);
  });

  test('names a program made up hold no slips', () => {
    expect(isTwin('Net-(R16-Pad1)', 'Net-(D16-Pad1)')).toBe(false);
  });

  test('two nets of many pins are both meant', () => {
    const text =
      'board: b\nparts:\n  J1: {kind: connector, pins: [SIGNAL, SIGNAL, SIGNAL, SIGNALS, SIGNALS, SIGNALS]}\n';
    expect(codes(text)).toEqual([]);
  });
});
