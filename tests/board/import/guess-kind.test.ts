import { expect, test } from 'vitest';
import { importBoard } from '../../../src/board/import/index.ts';
import { loadBoard } from '../../../src/board/load.ts';
import type { Board, Part } from '../../../src/board/model.ts';
import { netlistOf } from './netlist-text.ts';

/** Imports one part among enough others that all its nets are shared, and loads the result. */
function importPart(
  pads: string,
  value = '',
  footprint = '',
): { part: Part; pins: Record<string, string>; board: Board } {
  const name = pads.split(' ')[0] ?? '';
  const nets = pads
    .split(' ')
    .slice(1)
    .map((pad) => pad.slice(pad.indexOf(':') + 1));
  const others = [...new Set(nets)]
    .filter((net) => net !== 'N/C')
    .map((net, at) => `TP${at + 90} ${net}`);
  const bom = `refdes,value,footprint\n${name},"${value}",${footprint}\n`;
  const { yaml } = importBoard({
    netlist: { text: netlistOf(pads, ...others), file: 'n.ipc' },
    bom: { text: bom, file: 'b.csv' },
  });
  const { board } = loadBoard(yaml, 'b.yaml');
  const part = board.partNamed.get(name);
  if (!part) throw new Error(`${name} was left out:\n${yaml}`);
  const pins = part.pins.map((pin) => [
    board.pins[pin]?.name,
    board.nets[board.pins[pin]?.net ?? -1]?.name,
  ]);
  return { part, pins: Object.fromEntries(pins), board };
}

test.each([
  ['R1 A B', '10k', 'R_0603', 'resistor'],
  ['R1 A B', '0R', 'R_0603', 'jumper'],
  ['R1 A B', 'NTC 10k', 'R_0603', 'thermistor'],
  ['RT1 A B', 'PTC 0ZCJ', '1206', 'fuse'],
  ['RV1 A B', '275V', 'RV_Disc', 'varistor'],
  ['RV1 A B C', '10k', 'Potentiometer_X', 'potentiometer'],
  ['RN1 A B C D', '10k', 'R_Array', 'resistor-network'],
  ['C1 A B', '100n', 'C_0603', 'ceramic'],
  ['C1 A B', '100u', 'CP_Radial', 'electrolytic'],
  ['C1 A B', '47u', 'CP_EIA-3528', 'tantalum'],
  ['C1 A B', '0.22u', 'C_Rect_L7.2mm_MKS2', 'film'],
  ['L1 A B', '22u', 'L_8x8', 'inductor'],
  ['L1 A B', '0R', 'L_8x8', 'jumper'],
  ['F1 A B', '0 ohm', '1206', 'jumper'],
  ['C1 A B', '0R0', 'C_1206', 'jumper'],
  ['LK1 A B', '', '', 'jumper'],
  ['JW4 A B', '', '', 'jumper'],
  ['W1 A B', 'SolderBridge_Open', '', 'connector'],
  ['RGATE1 A B', '10R', 'x', 'resistor'],
  ['CBULK A B', '10u', 'x', 'ceramic'],
  ['QLOW A B C', 'IRF540', 'TO-220', 'n-mosfet'],
  ['DFLY A B', 'UF4007', 'x', 'diode'],
  ['1A2R3 A B', '1k', 'x', 'resistor'],
  ['PS1_R5 A B', '1k', 'x', 'resistor'],
  ['VD3 A B', '1N4007', 'x', 'diode'],
  ['EC4 A B', '470u', 'x', 'electrolytic'],
  ['L1 A B', '220 ohm, 3 A', '0805', 'bead'],
  ['FB1 A B', 'bead', '0603', 'bead'],
  ['F1 A B', '2A', 'Fuse_1206', 'fuse'],
  ['NT1 A B', '', 'NetTie-2', 'jumper'],
  ['JP1 A B', 'Jumper_NC', 'PinHeader', 'jumper'],
  ['JP1 A B', 'Jumper_NO', 'PinHeader', 'connector'],
  ['D1 A B', '1N4148', 'D_SOD-123', 'diode'],
  ['D1 A B', 'SS34', 'D_SMA', 'schottky'],
  ['D1 A B', '12V', 'D_SOD-123', 'zener'],
  ['D1 A B', 'SMBJ26A', 'D_SMB', 'suppressor'],
  ['D1 A B', 'Green', 'LED_0603', 'led'],
  ['BR1 +:P -:N ~1:A ~2:B', 'KBU6J', 'KBU', 'bridge-rectifier'],
  ['Q1 A B C', 'MMBT2222A', 'SOT-23', 'npn'],
  ['T1 A B C', 'BC857', 'SOT-23', 'pnp'],
  ['Q1 A B C', 'AO3401', 'SOT-23', 'p-mosfet'],
  ['Q1 A B C', 'IKW40N65', 'TO-247', 'igbt'],
  ['Q1 A B C', 'BT151', 'TO-220', 'scr'],
  ['Q1 A B C', 'BTA16', 'TO-220', 'triac'],
  ['T1 A B C D E', 'ETD34', 'Transformer_ETD34', 'transformer'],
  ['U1 A B C D', 'PC817', 'DIP-4', 'optocoupler'],
  ['U1 +12V GND +5V', '7805', 'TO-220', 'regulator'],
  ['U1 A B C D E F G H', 'SN74', 'SOIC-8', 'ic'],
  ['Y1 A B', '8MHz', 'HC-49', 'crystal'],
  ['X1 A GND B GND', '8MHz', 'Crystal_3225', 'crystal'],
  ['X1 +5V GND A N/C', '8MHz', 'Oscillator', 'ic'],
  ['X1 A B C', 'TERMINAL', 'Screw', 'connector'],
  ['K1 A B C D', 'G5LE', 'Relay', 'relay'],
  ['K1 A B', 'SERVO', 'PinHeader', 'connector'],
  ['S1 A B', 'PUSH', 'SW', 'switch'],
  ['H1 GND', 'MountingHole', 'MountingHole_3.2mm', 'mechanical'],
  ['TR1 A B C D E', '', 'Transformer_X', 'transformer'],
  ['RG1 A B', '10', 'R_0603', 'resistor'],
  ['QQQ7 A B', '', '', 'unknown'],
])('%s, %j, %j is a %s', (pads, value, footprint, kind) => {
  expect(importPart(pads, value, footprint).part.kind.name).toBe(kind);
});

test.each([
  ['IPP045N10N3', 'TO-220-3', { G: 'A', D: 'B', S: 'C' }],
  ['2N7002', 'SOT-23', { G: 'A', S: 'B', D: 'C' }],
  ['BC847', 'SOT-23', { B: 'A', E: 'B', C: 'C' }],
  ['BD139', 'TO-126', { E: 'A', C: 'B', B: 'C' }],
])('legs 1, 2, 3 of %s in %s', (value, footprint, pins) => {
  const result = importPart('Q1 A B C', value, footprint);
  expect(result.pins).toEqual(pins);
  expect(result.part.guesses).toHaveLength(1);
});

test('pads named by role are no guess', () => {
  const { part, pins } = importPart('TR1 D:X S:GND G:Y', 'AOD4184', 'D-PAK');
  expect(pins).toEqual({ G: 'Y', D: 'X', S: 'GND' });
  expect(part.guesses).toEqual([]);
});

test('made-up net names that name the pins turn the legs round', () => {
  const { pins } = importPart('Q1 Net-(Q1-D) SRC Net-(Q1-G)', 'IPP045N10', 'TO-220');
  expect(pins).toEqual({ G: 'Net-(Q1-G)', D: 'Net-(Q1-D)', S: 'SRC' });
});

test('a power package of eight pads becomes one transistor', () => {
  const { part, pins } = importPart('Q1 S S S G D D D D', 'BSC027N06', 'TDSON-8');
  expect(part.kind.name).toBe('n-mosfet');
  expect(pins).toEqual({ G: 'G', D: 'D', S: 'S' });
});

test.each([
  ['Q1 D D G S D D', 'SI3442', 'SOT-23-6'],
  ['Q1 G S S D S S S', 'IRFS7530-7P', 'TO-263-7'],
  ['Q1 S S S G D', 'PSMN1R0', 'LFPAK56'],
  ['Q1 G S D', 'IPT012N08', 'PG-HSOF-8'],
])('roles of %s, %s in %s', (pads, value, footprint) => {
  expect(importPart(pads, value, footprint).pins).toEqual({ G: 'G', D: 'D', S: 'S' });
});

test('a second source lead keeps its net, in a kind of its own', () => {
  const { part, pins } = importPart('Q1 G K S S S S S D', 'IMBG65R050', 'TO-263-7');
  expect(part.kind.name).toBe('n-mosfet-with-sense-lead');
  expect(pins).toEqual({ G: 'G', D: 'D', S: 'S', SS: 'K' });
});

test('a dual transistor is kept as one block and says so', () => {
  const { part } = importPart('Q1 A B C D E F', 'DUAL1', 'SOT-363');
  expect(part.kind.name).toBe('ic');
  expect(part.guesses.join()).toContain('do not fit one transistor');
});

test.each([
  ['C1 GND +5V', { plus: '+5V', minus: 'GND' }],
  ['C1 +5V GND', { plus: '+5V', minus: 'GND' }],
  ['C1 +5V +12V', { plus: '+12V', minus: '+5V' }],
  ['C1 -:A +:B', { plus: 'B', minus: 'A' }],
  ['C1 X Y', { plus: 'X', minus: 'Y' }],
])('plus of %s', (pads, pins) => {
  expect(importPart(pads, '100u', 'CP_Radial').pins).toEqual(pins);
});

test.each([
  ['D1 K:A A:B', 'SS34', { K: 'A', A: 'B' }],
  ['D1 X Y', 'SS34', { K: 'X', A: 'Y' }],
  ['D1 GND SW', 'SS34', { K: 'SW', A: 'GND' }],
  ['D1 X GND', 'Green LED', { K: 'GND', A: 'X' }],
  ['D1 Net-(D1-A) Y', 'SS34', { K: 'Y', A: 'Net-(D1-A)' }],
  ['D1 A:X C:Y', 'SS34', { K: 'Y', A: 'X' }],
])('cathode of %s, %s', (pads, value, pins) => {
  expect(importPart(pads, value, 'D_SMA').pins).toEqual(pins);
});

test('diode pairs keep both diodes', () => {
  const { pins, part } = importPart('D1 A B C', 'BAV99', 'SOT-23');
  expect(part.kind.name).toBe('diode-pair-in-series');
  expect(part.kind.healthy).toHaveLength(2);
  expect(pins).toEqual({ A: 'A', K: 'B', MID: 'C' });
});

test('a four-terminal shunt keeps its ohms between the current pads', () => {
  const { part } = importPart('R1 HI SP SN LO', '300µ', 'Shunt_Kelvin');
  expect(part.ohms).toBeCloseTo(300e-6, 12);
  expect(part.kind.healthy[0]).toMatchObject({ between: ['1', '4'], ohms: 'value' });
});

test('input and output of a regulator follow the voltages of its nets', () => {
  expect(importPart('U1 GND +5V +12V', 'AMS1117-5.0', 'SOT-223').pins).toEqual({
    IN: '+12V',
    GND: 'GND',
    OUT: '+5V',
  });
});

test('a resistor without a value is taken as 10 kΩ and says so', () => {
  const { part } = importPart('R1 A B');
  expect(part.ohms).toBe(10_000);
  expect(part.guesses.join()).toContain('value unknown');
});
