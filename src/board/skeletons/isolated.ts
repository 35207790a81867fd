import { arm, bypass, OFTEN, snubber, storage, USUAL } from './blocks.ts';
import {
  CAPACITORS,
  MAINS,
  OUTPUTS,
  outputEnd,
  primaryIn,
  primarySupply,
  RECTIFIERS,
  rectifiers,
  regulation,
} from './mains.ts';
import { bulk, busVolts, parallel, SNUBBER, sense } from './questions.ts';
import { rectifierVolts } from './ratings.ts';
import type { Sheet } from './sheet.ts';
import type { Size, Skeleton } from './skeleton.ts';

/** Supplies with a barrier: flyback and two-switch forward. */

const BUS = busVolts(325, 800);

type Windings = Record<string, { pins: [string, string]; ohms: number }>;

/** Primary 1 and 2, auxiliary 3 and 4, then two pins for each output. */
function transformer(
  sheet: Sheet,
  primary: readonly [string, string],
  outputs: readonly number[],
): void {
  const pins: Record<string, string> = { 1: primary[0], 2: primary[1], 3: 'AUX', 4: 'PGND' };
  const windings: Windings = {
    primary: { pins: ['1', '2'], ohms: 0.6 },
    auxiliary: { pins: ['3', '4'], ohms: 0.2 },
  };
  outputs.forEach((_volts, i) => {
    const [start, end] = [String(5 + 2 * i), String(6 + 2 * i)] as const;
    pins[start] = `SEC${i + 1}`;
    pins[end] = 'SGND';
    windings[`output ${i + 1}`] = { pins: [start, end], ohms: 0.02 };
  });
  sheet.part('T', 'transformer', pins, { windings, guess: ['numbers of pins', 'usual ohms'] });
}

function controller(sheet: Sheet, pins: Readonly<Record<string, string>>): void {
  sheet.heading('Controller and its supply');
  const all = { VCC: 'VCC_P', GND: 'PGND', ...pins, FB: 'COMP' };
  sheet.part('U', 'ic', all, { text: 'controller', guess: ['pins of a usual controller'] });
  primarySupply(sheet, 'AUX');
}

function senseFoot(sheet: Sheet, size: Size): string {
  if (!size.flag('sense')) return 'PGND';
  sheet.part('R', 'resistor', ['SENSE', 'PGND'], { ohms: '0.47', text: 'sense', guess: USUAL });
  return 'SENSE';
}

function outputs(size: Size, sheet: Sheet, choke: boolean): void {
  const count = size.number('rectifiers');
  size.numbers('outputs').forEach((volts, i) => {
    const n = i + 1;
    sheet.heading(`Output ${n}`);
    const rectified = choke ? `RECT${n}` : `OUT${n}`;
    rectifiers(sheet, { A: `SEC${n}`, K: rectified }, { count, volts, bank: `rectifiers ${n}` });
    if (choke) {
      const bank = `freewheeling diodes ${n}`;
      rectifiers(sheet, { A: 'SGND', K: rectified }, { count, volts, bank });
      const coil = { henries: '22u', ohms: '10m', guess: USUAL };
      sheet.part('L', 'inductor', [rectified, `OUT${n}`], coil);
    }
    if (size.flag('snubber')) snubber(sheet, `SEC${n}`, `SNUB${n}`, rectified, volts * 3);
    const rail = { plus: `OUT${n}`, minus: 'SGND', volts, bulk: size.number('capacitors') };
    storage(sheet, rail, `output capacitors ${n}`);
    outputEnd(sheet, `OUT${n}`, volts);
  });
}

function outputRails(size: Size, sheet: Sheet): void {
  size.numbers('outputs').forEach((volts, i) => {
    sheet.rail(`output ${i + 1}`, `OUT${i + 1}`, 'SGND', volts);
  });
  sheet.rail('primary supply', 'VCC_P', 'PGND', 15);
}

export const FLYBACK: Skeleton = {
  name: 'flyback',
  title: 'Flyback supply',
  summary: 'isolated supply with one switch and a clamp, one or more outputs',
  questions: [MAINS, BUS, bulk(1), OUTPUTS, RECTIFIERS, CAPACITORS, sense(true), SNUBBER],
  draw: (size, sheet) => {
    const volts = size.number('volts');
    primaryIn(size, sheet);
    outputRails(size, sheet);
    sheet.heading('Switch, sense and clamp');
    const foot = senseFoot(sheet, size);
    const one = { parallel: 1, device: 'mosfet', volts: volts * 1.6, bank: 'switch' };
    arm(sheet, { ...one, heatsink: 'primary', high: 'DRAIN', low: foot, drive: 'GATE_OUT' });
    const rated = rectifierVolts(volts * 1.6);
    sheet.part(
      'D',
      'diode',
      { A: 'DRAIN', K: 'CLAMP' },
      { volts: rated, text: 'clamp', guess: OFTEN },
    );
    const kept = { farads: '4n7', volts: 1000, text: 'clamp', guess: OFTEN };
    sheet.part('C', 'film', ['CLAMP', 'HV'], kept);
    sheet.part('R', 'resistor', ['CLAMP', 'HV'], { ohms: '47k', text: 'clamp', guess: OFTEN });
    controller(sheet, { GATE: 'GATE_OUT', ...(size.flag('sense') ? { CS: 'SENSE' } : {}) });
    sheet.heading('Transformer');
    transformer(sheet, ['HV', 'DRAIN'], size.numbers('outputs'));
    outputs(size, sheet, false);
    regulation(sheet, size.numbers('outputs')[0] ?? 24);
  },
};

export const TWO_SWITCH_FORWARD: Skeleton = {
  name: 'two-switch-forward',
  title: 'Two-switch forward supply',
  summary: 'isolated supply with two switches that open together and two clamp diodes',
  questions: [
    MAINS,
    BUS,
    bulk(2),
    parallel(1, 'Transistors in parallel in each switch:'),
    OUTPUTS,
    RECTIFIERS,
    CAPACITORS,
    sense(true),
    SNUBBER,
  ],
  draw: (size, sheet) => {
    const volts = size.number('volts');
    primaryIn(size, sheet);
    outputRails(size, sheet);
    sheet.heading('Two switches, sense and clamp diodes');
    const common = {
      parallel: size.number('parallel'),
      device: 'mosfet',
      volts,
      heatsink: 'primary',
    };
    arm(sheet, { ...common, bank: 'upper switch', high: 'HV', low: 'PRI_A', drive: 'GATE_H' });
    const foot = senseFoot(sheet, size);
    arm(sheet, { ...common, bank: 'lower switch', high: 'PRI_B', low: foot, drive: 'GATE_L' });
    const clamp = { volts: rectifierVolts(volts), text: 'clamp', guess: ['usual rating'] };
    sheet.part('D', 'diode', { A: 'PGND', K: 'PRI_A' }, clamp);
    sheet.part('D', 'diode', { A: 'PRI_B', K: 'HV' }, clamp);
    sheet.heading('Gate transformer');
    gateTransformer(sheet);
    controller(sheet, { GATE: 'GATE_OUT', ...(size.flag('sense') ? { CS: 'SENSE' } : {}) });
    bypass(sheet, 'VCC_P', 'PGND', 25);
    sheet.heading('Transformer');
    transformer(sheet, ['PRI_A', 'PRI_B'], size.numbers('outputs'));
    outputs(size, sheet, true);
    regulation(sheet, size.numbers('outputs')[0] ?? 24);
  },
};

/** Drives both switches; the upper one's winding floats with its source. */
function gateTransformer(sheet: Sheet): void {
  const pins = { 1: 'GATE_AC', 2: 'PGND', 3: 'GATE_H', 4: 'PRI_A', 5: 'GATE_L', 6: 'PGND' };
  const windings: Windings = {
    drive: { pins: ['1', '2'], ohms: 0.5 },
    upper: { pins: ['3', '4'], ohms: 0.5 },
    lower: { pins: ['5', '6'], ohms: 0.5 },
  };
  const guess = ['how the gates are driven', 'numbers of pins'];
  sheet.part('T', 'transformer', pins, { windings, guess });
  const facts = { farads: '1u', volts: 50, text: 'in series with the drive', guess: OFTEN };
  sheet.part('C', 'ceramic', ['GATE_OUT', 'GATE_AC'], facts);
}
