import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { catalogue } from '../../src/board/catalogue.ts';
import { loadBoard } from '../../src/board/load.ts';
import type { Board } from '../../src/board/model.ts';
import { Circuit } from '../../src/circuit/circuit.ts';
import { type MoreMode, type PartModel, partModels } from '../../src/circuit/elements.ts';
import { ampsAt, junctionLaw, voltsFor } from '../../src/circuit/junction-law.ts';
import { COMMON_HANDHELD, type Meter } from '../../src/circuit/meter.ts';
import type { PartMode } from '../../src/circuit/part-model.ts';
import { type Shown, shownOn } from '../../src/circuit/shown.ts';
import { AS_FOUND } from '../../src/circuit/state.ts';

function boardOf(parts: readonly string[], ...rest: readonly string[]): Board {
  const lines = ['board: Test piece', ...rest, 'parts:', ...parts.map((part) => `  ${part}`)];
  return loadBoard(lines.join('\n'), 'x').board;
}

function modelOf(board: Board, part: string): PartModel {
  return partModels(board)[board.partNamed.get(part)?.index ?? -1] as PartModel;
}

/** `GND>P5` for each junction, in order. */
function junctionsOf(board: Board, part: string): string[] {
  const net = (pin: number): string => board.nets[board.pins[pin]?.net ?? -1]?.name ?? '?';
  return modelOf(board, part).junctions.map(
    ({ anode, cathode }) => `${net(anode)}>${net(cathode)}`,
  );
}

function more(board: Board, part: string, mode: string): MoreMode[] {
  return modelOf(board, part).moreModes.filter(({ name }) => name === mode);
}

const BENCH: Meter = {
  ...COMMON_HANDHELD,
  leadOhms: 0,
  drives: { diode: { ranges: [{ ohms: Number.POSITIVE_INFINITY, amps: 1e-3 }], volts: 9 } },
};

function diodeTest(board: Board, red: string, black: string, meter: Meter = BENCH): Shown {
  const net = (name: string): number => board.netNamed.get(name)?.index ?? -1;
  const view = new Circuit(board).view(AS_FOUND);
  return shownOn(meter, 'diode', { view, added: [], red: net(red), black: net(black) });
}

describe('what the reasoning searches', () => {
  // A change here is a change of what every diagnosis weighs; it must be meant.
  test.each([
    ['hoist-drive', 609, 'f895bba77ca7'],
    ['bypass-rail', 573, '546440eb7ce5'],
    ['bench-flyback', 288, '943479daf3ea'],
  ])('is the same modes in the same order on %s', (name, count, digest) => {
    const { board } = loadBoard(readFileSync(`boards/${name}.yaml`, 'utf8'), name);
    const modes = partModels(board).flatMap((model) =>
      model.modes.map(({ name, share, opens, joins, spread }) => {
        return { name, share, opens, joins, spread };
      }),
    );
    expect(modes).toHaveLength(count);
    expect(createHash('sha256').update(JSON.stringify(modes)).digest('hex').slice(0, 12)).toBe(
      digest,
    );
  });
});

describe('junctions of the catalogue', () => {
  const lawOf = (name: string) => {
    const spec = catalogue()
      .get(name)
      ?.healthy.find(({ element }) => element === 'junction');
    if (spec?.element !== 'junction' || spec.volts === 'rated') throw new Error(name);
    return junctionLaw(spec.volts, spec.slope);
  };

  test('a silicon one has the apparent ohms that are published', () => {
    const law = lawOf('diode');
    const ohms = (amps: number): number => voltsFor(law, amps) / amps;
    expect(ohms(1e-3)).toBeGreaterThanOrEqual(570 - 1e-6);
    expect(ohms(1e-3)).toBeLessThanOrEqual(610);
    expect(ohms(1e-4)).toBeGreaterThan(4600);
    expect(ohms(1e-4)).toBeLessThan(5000);
    expect(0.2 / ampsAt(law, 0.2)).toBeGreaterThan(0.6e6);
    expect(0.2 / ampsAt(law, 0.2)).toBeLessThan(0.95e6);
    expect(ampsAt(law, 0.3)).toBeGreaterThan(2e-6);
    expect(ampsAt(law, 0.3)).toBeLessThan(3e-6);
    expect(ampsAt(law, 0.45)).toBeGreaterThan(40e-6);
    expect(ampsAt(law, 0.45)).toBeLessThan(80e-6);
  });

  test('a Schottky one reads 125 to 250 ohms at 1 mA', () => {
    const ohms = voltsFor(lawOf('schottky'), 1e-3) / 1e-3;
    expect(ohms).toBeGreaterThan(125);
    expect(ohms).toBeLessThan(250);
  });

  test.each(['diode', 'led', 'zener', 'n-mosfet', 'igbt', 'scr', 'optocoupler', 'npn'])(
    'of one %s shows in diode test, the right way round',
    (name) => {
      const kind = catalogue().get(name);
      const nets = kind?.pins.map((pin) => `${pin}: N_${pin}`).join(', ');
      const board = boardOf([`X1: {kind: ${name}, pins: {${nets}}}`]);
      const spec = kind?.healthy[0];
      if (spec?.element !== 'junction') throw new Error(name);
      const forward = diodeTest(board, `N_${spec.from}`, `N_${spec.to}`);
      expect(forward.kind).toBe('volts');
      expect(forward.value).toBeCloseTo(spec.volts as number, 3);
      expect(diodeTest(board, `N_${spec.to}`, `N_${spec.from}`).kind).toBe('over');
    },
  );
});

describe('breakdown', () => {
  const zener = (volts: string): Board =>
    boardOf([`D1: {kind: zener${volts}, pins: {A: LOW, K: HIGH}}`]);

  test('shows on a meter that drives enough, and as over on one that does not', () => {
    const board = zener(', volts: 3V3');
    expect(diodeTest(board, 'HIGH', 'LOW', COMMON_HANDHELD).kind).toBe('over');
    const read = diodeTest(board, 'HIGH', 'LOW').value;
    // makers' tables: a 3.3 V part at 5 mA has 2.3 to 2.9 V at 1 mA
    expect(read).toBeGreaterThan(2.3);
    expect(read).toBeLessThan(2.9);
    expect(diodeTest(board, 'LOW', 'HIGH').value).toBeCloseTo(0.65, 3);
  });

  test('is sharp above 6 V', () => {
    const read = diodeTest(zener(', volts: 6.8'), 'HIGH', 'LOW').value;
    expect(read).toBeGreaterThan(6.6);
    expect(read).toBeLessThan(6.8);
  });

  test('is left out where the rating is not known, or where no meter reaches', () => {
    expect(junctionsOf(zener(''), 'D1')).toEqual(['LOW>HIGH']);
    expect(junctionsOf(zener(', volts: 24'), 'D1')).toEqual(['LOW>HIGH']);
  });

  test('of a two-way suppressor is the same both ways', () => {
    const board = boardOf(['D1: {kind: two-way-suppressor, volts: 6.8, pins: [LINE, GND]}']);
    expect(diodeTest(board, 'LINE', 'GND').value).toBeCloseTo(6.8, 3);
    expect(diodeTest(board, 'GND', 'LINE').value).toBeCloseTo(6.8, 3);
    expect(diodeTest(board, 'GND', 'LINE', COMMON_HANDHELD).kind).toBe('over');
  });

  test('never lies above the rating, nor below half of it, for any rating', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.3, max: 30, noNaN: true }), (volts) => {
        const { junctions } = modelOf(zener(`, volts: ${volts.toFixed(6)}`), 'D1');
        expect(junctions).toHaveLength(Number(volts.toFixed(6)) <= 20 ? 2 : 1);
        for (const { volts: at, slope } of junctions.slice(1)) {
          expect(at).toBeLessThanOrEqual(volts + 1e-6);
          expect(at).toBeGreaterThanOrEqual(volts / 2 - 1e-6);
          expect(slope).toBe(Number(volts.toFixed(6)) < 6 ? 10 : 3);
        }
      }),
      { numRuns: 50 },
    );
  });
});

describe('protection junctions of an IC', () => {
  const rail = 'rails: {logic: {plus: P5, minus: GND}}';

  test('lie from ground to every pin, and from every pin to the supply', () => {
    const board = boardOf(
      ['U1: {kind: ic, pins: {VCC: P5, GND: GND, A: NA, Y: NY, NC: NX}}'],
      rail,
    );
    expect(junctionsOf(board, 'U1')).toEqual(['GND>P5', 'GND>NA', 'GND>NY', 'NA>P5', 'NY>P5']);
    expect(diodeTest(board, 'NA', 'P5').value).toBeCloseTo(0.6, 2);
    expect(diodeTest(board, 'P5', 'NA').kind).toBe('over');
  });

  test('take several pins on one net as one place, and tie no net to itself', () => {
    const board = boardOf(
      ['U1: {kind: ic, pins: {V1: P5, V2: P5, G1: GND, G2: GND, A: NA, B: NA, EN: P5, X: GND}}'],
      rail,
    );
    expect(junctionsOf(board, 'U1')).toEqual(['GND>P5', 'GND>NA', 'NA>P5']);
  });

  test('are only those to ground where the supply is unknown, and none where both are', () => {
    const shunt = 'U1: {kind: ic, pins: {A: GND, REF: NR, K: NK}}';
    const grounded = boardOf([shunt, 'C1: {kind: ceramic, pins: [P5, GND]}'], rail);
    expect(junctionsOf(grounded, 'U1')).toEqual(['GND>NR', 'GND>NK']);
    expect(junctionsOf(boardOf(['U1: {kind: ic, pins: {1: N1, 2: N2}}']), 'U1')).toEqual([]);
  });

  test('go to the supply that most pins share', () => {
    const board = boardOf(
      ['U1: {kind: ic, pins: {VCC1: P3, VCC2: P3, VINT: P1, GND: GND, A: NA}}'],
      'rails: {core: {plus: P1, minus: GND}, pads: {plus: P3, minus: GND}}',
    );
    expect(junctionsOf(board, 'U1')).toEqual(['GND>P3', 'GND>P1', 'GND>NA', 'NA>P3']);
  });

  test('do not cross a barrier', () => {
    const isolator = 'U1: {kind: ic, pins: {VA: PA, GA: GA, VB: PB, GB: GB, IN: NI, OUT: NO}}';
    const rails = 'rails: {a: {plus: PA, minus: GA}, b: {plus: PB, minus: GB}}';
    expect(junctionsOf(boardOf([isolator], rails), 'U1')).toEqual(['GA>PA', 'GB>PB']);
    const tied = boardOf([isolator, 'W1: {kind: jumper, pins: [GA, GB]}'], rails);
    expect(junctionsOf(tied, 'U1')).toContain('GA>NI');
  });

  test('are one at most between two nets in one direction, on any IC', () => {
    const net = fc.constantFrom('P5', 'P3', 'GND', 'AGND', 'N1', 'N2', 'N3');
    fc.assert(
      fc.property(fc.array(net, { minLength: 1, maxLength: 12 }), (nets) => {
        const pins = nets.map((name, k) => `${k + 1}: ${name}`).join(', ');
        const board = boardOf(
          [
            `U1: {kind: ic, pins: {${pins}}}`,
            'C1: {kind: ceramic, pins: [P5, GND]}',
            'C2: {kind: ceramic, pins: [P3, AGND]}',
          ],
          'rails: {a: {plus: P5, minus: GND}, b: {plus: P3, minus: AGND}}',
        );
        const found = junctionsOf(board, 'U1');
        expect(new Set(found).size).toBe(found.length);
        for (const [from, to] of found.map((pair) => pair.split('>'))) expect(from).not.toBe(to);
      }),
      { numRuns: 60 },
    );
  });
});

describe('a punctured insulator', () => {
  const parts = (net: string): string[] => [
    `Q1: {kind: n-mosfet, pins: {G: G1, D: ${net}, S: OUT}, heatsink: rear}`,
    'J1: {kind: connector, pins: {1: P24, 2: PE}}',
  ];
  const punctured = (board: Board): readonly PartMode[] =>
    modelOf(board, 'Q1').modes.filter(({ name }) => name === 'insulator punctured');

  test('joins the tab to the net of its heatsink', () => {
    const board = boardOf(parts('P24'), 'heatsinks: {rear: {net: PE}}');
    const found = punctured(board);
    expect(found.length).toBeGreaterThan(1);
    for (const { netJoins = [], opens, joins } of found) {
      expect({ opens, joins }).toEqual({ opens: false, joins: [] });
      expect(netJoins).toHaveLength(1);
      expect(board.pins[netJoins[0]?.pin ?? -1]?.name).toBe('D');
      expect(board.nets[netJoins[0]?.net ?? -1]?.name).toBe('PE');
    }
  });

  test('is nothing to a meter without such a net, or with the tab on it', () => {
    expect(punctured(boardOf(parts('P24')))).toEqual([]);
    const same = boardOf(parts('PE'), 'heatsinks: {rear: {net: PE}}');
    expect(punctured(same)).toEqual([]);
  });
});

describe('other ohms than it should have', () => {
  test('a resistor gone high reads more, by up to the factor stated', () => {
    const board = boardOf(['R1: {kind: resistor, ohms: 100, pins: [A, B]}']);
    const ohms = more(board, 'R1', 'high').map(({ joins }) => joins[0]?.ohms ?? 0);
    expect(Math.min(...ohms)).toBeGreaterThan(130);
    expect(Math.max(...ohms)).toBeLessThan(10_000);
  });

  test('a drifted thermistor reads less or more, never as it should', () => {
    const board = boardOf(['RT1: {kind: thermistor, ohms: 100, pins: [A, B]}']);
    const [less, above] = more(board, 'RT1', 'drift').map(({ joins }) => joins[0]?.ohms ?? 0);
    expect(less).toBeLessThan(90);
    expect(above).toBeGreaterThan(110);
  });

  test('shorted turns lower one winding at a time', () => {
    const board = boardOf([
      'T1: {kind: transformer, pins: {1: A, 2: B, 3: C, 4: D}, windings: {p: {pins: [1, 2], ohms: 4}, s: {pins: [3, 4], ohms: 1}}}',
    ]);
    const found = more(board, 'T1', 'shorted turns');
    expect(found.map(({ joins }) => joins.map(({ ohms }) => ohms < 4 && ohms !== 1))).toEqual([
      [true, false],
      [false, true],
    ]);
    for (const { opens, spread } of found) {
      expect(opens).toBe(true);
      expect(spread).toBeGreaterThan(0.1);
    }
  });

  test('a wiper off its track leaves the track', () => {
    const board = boardOf(['RV1: {kind: potentiometer, ohms: 10k, pins: [A, W, B]}']);
    const [erratic] = more(board, 'RV1', 'erratic');
    const { pins } = board.partNamed.get('RV1') ?? { pins: [] };
    expect(erratic?.joins).toEqual([{ a: pins[0], b: pins[2], ohms: expect.closeTo(10_000, 6) }]);
  });
});

describe('modes that only a junction test shows', () => {
  test('an open diode', () => {
    const board = boardOf(['D1: {kind: diode, pins: {A: P, K: Q}}']);
    expect(modelOf(board, 'D1').modes.map(({ name }) => name)).not.toContain('open');
    expect(more(board, 'D1', 'open')).toMatchObject([
      { opens: true, joins: [], junctions: [], junctionOnly: true },
    ]);
  });

  test('not of a diode with both ends on one net', () => {
    const board = boardOf(['D1: {kind: diode, pins: {A: P, K: P}}']);
    expect(modelOf(board, 'D1').moreModes).toEqual([]);
  });

  test('a triac that blocks one way only, either way', () => {
    const board = boardOf(['Q1: {kind: triac, pins: {G: G, T1: N, T2: L}}']);
    const name = (pin = -1): string => board.pins[pin]?.name ?? '?';
    const found = modelOf(board, 'Q1').moreModes.flatMap(({ junctions }) => junctions);
    expect(found.map(({ anode, cathode }) => name(anode) + name(cathode))).toEqual([
      'T1T2',
      'T2T1',
    ]);
  });
});
