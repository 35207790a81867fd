import { describe, expect, it } from 'vitest';
import { loadBoard } from '../../../src/board/load.ts';
import type { Part } from '../../../src/board/model.ts';
import { fasteningOf, isApart } from '../../../src/job/repair/fastening.ts';
import { holesOf } from '../../../src/job/repair/heat.ts';
import { familyOf, legsOf } from '../../../src/job/repair/package-family.ts';
import { shipped } from './repaired.ts';

function partOf(kind: string, pack: string | undefined, pins: string): Part {
  const packed = pack === undefined ? '' : `, package: "${pack}"`;
  const { board } = loadBoard(
    `board: One\nparts:\n  X1: {kind: ${kind}, ${pins}${packed}}\n  R9: {kind: resistor, ohms: 1, pins: [A, B]}\n`,
    'one.yaml',
  );
  return board.parts[0] as Part;
}

const TWO = 'pins: [A, B]';
const POLES = 'farads: 1u, pins: {plus: A, minus: B}';
const DIODE = 'pins: {A: A, K: B}';
const FET = 'pins: {G: A, D: B, S: C}';
const IC = 'pins: {1: A, 2: B, 3: C, 4: D, 5: E, 6: F, 7: G, 8: H}';

describe('the family of a body', () => {
  it.each([
    ['electrolytic', 'radial 10x20', POLES, 'can, leaded', 'holes'],
    ['electrolytic', 'CP_Radial_D18.0mm_P7.50mm', POLES, 'can, leaded', 'holes'],
    ['electrolytic', 'CP_Elec_10x10', POLES, 'can, surface mount', 'surface'],
    ['electrolytic', 'axial 10x30', POLES, 'can, axial', 'holes'],
    ['electrolytic', undefined, POLES, 'can, leaded', 'not known'],
    ['tantalum', 'case D', POLES, 'tantalum chip', 'surface'],
    ['tantalum', 'CP_EIA-3528-21_Kemet-B', POLES, 'tantalum chip', 'surface'],
    ['tantalum', 'radial bead', POLES, 'tantalum bead', 'holes'],
    ['diode', 'DO-41', DIODE, 'diode, leaded', 'holes'],
    ['diode', 'SMA', DIODE, 'diode, surface mount', 'surface'],
    ['schottky', 'D_PowerDI-123', DIODE, 'diode, surface mount', 'surface'],
    ['schottky', 'TO-220-2', DIODE, 'two-leg tab', 'holes'],
    ['zener', 'SOT-23', DIODE, 'three-leg small', 'surface'],
    ['led', '3 mm', DIODE, 'lamp, leaded', 'holes'],
    ['led', 'LED_0603_1608Metric', DIODE, 'lamp, surface mount', 'surface'],
    ['n-mosfet', 'TO-247', FET, 'three-leg tab', 'holes'],
    ['n-mosfet', 'TO-252', FET, 'tab, surface mount', 'surface'],
    ['n-mosfet', 'SOT-23', FET, 'three-leg small', 'surface'],
    ['npn', 'TO-92', 'pins: {B: A, C: B, E: C}', 'three-leg round', 'holes'],
    ['n-mosfet', undefined, FET, 'own pins', 'not known'],
    ['ic', 'DIP-8', IC, 'in-line rows', 'holes'],
    ['ic', 'SOIC-8', IC, 'in-line rows', 'surface'],
    ['ic', 'LQFP-32', IC, 'pins on four sides', 'surface'],
    ['ic', 'QFN-12', IC, 'pads underneath', 'surface'],
    ['film', 'box 18x11', 'farads: 1u, pins: [A, B]', 'either way round', 'holes'],
    ['resistor', '0603', `ohms: 10, ${TWO}`, 'either way round', 'surface'],
    ['resistor', '4026', `ohms: 10, ${TWO}`, 'either way round', 'surface'],
    ['two-way-suppressor', 'SMB', TWO, 'either way round', 'surface'],
    ['bridge-rectifier', 'KBU', 'pins: {plus: A, minus: B, AC1: C, AC2: D}', 'bridge', 'holes'],
  ] as const)('of a %s in %s', (kind, pack, pins, family, legs) => {
    const part = partOf(kind, pack, pins);
    expect(familyOf(part)).toBe(family);
    expect(legsOf(part)).toBe(legs);
  });

  it('counts holes only where the package tells that there are any', () => {
    expect(holesOf(partOf('n-mosfet', 'TO-247', FET))).toBe(3);
    expect(holesOf(partOf('n-mosfet', 'TO-252', FET))).toBe(0);
    expect(holesOf(partOf('n-mosfet', undefined, FET))).toBeUndefined();
  });
});

describe('a tab on a heatsink', () => {
  const board = shipped('bench-flyback');
  const insulatorOf = (name: string): string | undefined => {
    const part = board.partNamed.get(name);
    return part && fasteningOf(board, part)?.insulator;
  };

  it('needs an insulator where tabs on it are on different nets', () => {
    expect(insulatorOf('D6')).toBe('needed');
    expect(insulatorOf('U4')).toBe('needed');
  });

  it('is left as it was where one tab sits alone on metal that nobody wired', () => {
    expect(insulatorOf('Q1')).toBe('as found');
    expect(insulatorOf('R1')).toBeUndefined();
  });

  it('needs none where the metal is on its own net, and one where it is on another', () => {
    const text = (net: string): string => `board: One
heatsinks: {main: {net: ${net}}}
parts:
  Q1: {kind: n-mosfet, pins: {G: G, D: D, S: S}, heatsink: main, package: TO-220}
  Q2: {kind: n-mosfet, pins: {G: G, D: D, S: S}, heatsink: main, package: TO-220FP}
  R1: {kind: resistor, ohms: 1, pins: [D, S]}
  TP1: {kind: test-point, pins: {1: ${net}}}
`;
    const insulators = (net: string): (string | undefined)[] => {
      const loaded = loadBoard(text(net), 'one.yaml').board;
      return loaded.parts.slice(0, 2).map((part) => fasteningOf(loaded, part)?.insulator);
    };
    expect(insulators('D')).toEqual(['same net', 'in the body']);
    expect(insulators('S')).toEqual(['needed', 'in the body']);
  });

  it('goes by what the board file says of insulator and torque', () => {
    const { board: said } = loadBoard(
      `board: One
parts:
  Q1: {kind: n-mosfet, pins: {G: G, D: D, S: S}, heatsink: main, package: TO-220, insulator: mica, torque: 0.7}
  Q2: {kind: n-mosfet, pins: {G: G, D: D, S: S}, heatsink: main, package: TO-220, insulator: none}
  Q3: {kind: n-mosfet, pins: {G: G, D: S, S: D}, heatsink: main, package: TO-247}
`,
      'one.yaml',
    );
    const [q1, q2, q3] = said.parts.map((part) => fasteningOf(said, part));
    expect(q1).toMatchObject({ insulator: 'needed', between: 'mica' });
    expect(q1?.torque).toEqual({ of: 'Q1', from: 0.7, to: 0.7, source: 'board file' });
    expect(q2?.insulator).toBe('in the body');
    expect(q2?.torque).toMatchObject({ of: 'TO-220', from: 0.5, to: 0.6, most: 1 });
    expect(q3?.insulator).toBe('needed');
    expect(q3?.torque).toMatchObject({ of: 'TO-247', from: 0.8, to: 1 });
  });

  it('reads apart from it over range, or from 20 MΩ on', () => {
    const reading = { event: 2, at: '', part: 0 };
    expect(isApart({ ...reading, value: { kind: 'over' } })).toBe(true);
    expect(isApart({ ...reading, value: { kind: 'ohms', ohms: 20e6 } })).toBe(true);
    expect(isApart({ ...reading, value: { kind: 'ohms', ohms: 19e6 } })).toBe(false);
  });
});
