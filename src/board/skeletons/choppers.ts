import { arm, bypass, dcIn, leg, OFTEN, snubber, storage, USUAL } from './blocks.ts';
import { bulk, busVolts, DEVICE, parallel, SNUBBER, sense } from './questions.ts';
import { rectifierVolts } from './ratings.ts';
import type { Sheet } from './sheet.ts';
import type { Size, Skeleton } from './skeleton.ts';

/** Step-down and step-up converters: one inductor, one rail in, one out. */

const output = (usual: number) =>
  ({ name: 'output', ask: 'Volts of the output:', is: 'volts', most: 1000, usual }) as const;

const OUTPUT_CAPACITORS = {
  name: 'capacitors',
  ask: 'Output capacitors in parallel:',
  is: 'count',
  least: 1,
  most: 24,
  usual: 3,
} as const;

function rails(size: Size, sheet: Sheet): void {
  const volts = size.number('volts');
  sheet.rail('input', 'VIN', 'GND', volts);
  sheet.rail('output', 'VOUT', 'GND', size.number('output'));
  sheet.rail('gate drive', 'VCC', 'GND', 12);
  sheet.heading('Supply in');
  dcIn(sheet, { plus: 'VIN', minus: 'GND', from: 'IN', volts, bulk: size.number('bulk') });
}

function outputSide(size: Size, sheet: Sheet): void {
  sheet.heading('Output');
  const volts = size.number('output');
  const rail = { plus: 'VOUT', minus: 'GND', volts, bulk: size.number('capacitors') };
  storage(sheet, rail, 'output capacitors');
  sheet.part('J', 'connector', { 1: 'VOUT', 2: 'GND' }, { text: 'output' });
}

/** The divider that the controller watches the output with. */
function divider(sheet: Sheet, volts: number): void {
  const upper = Math.max(1, Math.round((volts / 2.5 - 1) * 10));
  sheet.part('R', 'resistor', ['VOUT', 'FB'], { ohms: `${upper}k`, tolerance: '1%', guess: USUAL });
  sheet.part('R', 'resistor', ['FB', 'GND'], { ohms: '10k', tolerance: '1%', guess: USUAL });
}

function controller(size: Size, sheet: Sheet, pins: Readonly<Record<string, string>>): void {
  sheet.heading('Controller');
  const all = { VCC: 'VCC', GND: 'GND', ...pins, FB: 'FB' };
  sheet.part('U', 'ic', all, { text: 'controller', guess: ['pins of a usual controller'] });
  const feed = { ohms: size.number('volts') > 60 ? '47k' : '100', text: 'feeds VCC', guess: OFTEN };
  sheet.part('R', 'resistor', ['VIN', 'VCC'], feed);
  bypass(sheet, 'VCC', 'GND', 15);
  divider(sheet, size.number('output'));
}

export const BUCK: Skeleton = {
  name: 'buck',
  title: 'Buck converter',
  summary: 'step-down converter: upper transistors, lower transistors or diodes, inductor',
  questions: [
    busVolts(48),
    output(12),
    {
      name: 'synchronous',
      ask: 'Transistors as the lower switch (no: diodes)?',
      is: 'yes-or-no',
      usual: true,
    },
    parallel(1, 'Switches in parallel:'),
    bulk(2),
    OUTPUT_CAPACITORS,
    sense(false),
    SNUBBER,
  ],
  objection: (size) =>
    size.number('output') < size.number('volts')
      ? undefined
      : "a buck converter's output lies below its supply",
  draw: (size, sheet) => {
    rails(size, sheet);
    const volts = size.number('volts');
    if (size.flag('synchronous')) lowerTransistors(size, sheet);
    else lowerDiodes(size, sheet, volts);
    sheet.heading('Inductor');
    const before = size.flag('sense') ? 'SENSE' : 'VOUT';
    sheet.part('L', 'inductor', ['SW_A', before], { henries: '22u', ohms: '10m', guess: USUAL });
    if (size.flag('sense')) senseResistor(sheet, before, 'VOUT');
    outputSide(size, sheet);
    controller(size, sheet, {
      ...(size.flag('synchronous')
        ? { HG: 'HIN_A', LG: 'LIN_A' }
        : { GATE: 'GATE_OUT', SW: 'SW_A' }),
      ...(size.flag('sense') ? { CS: before } : {}),
    });
  },
};

function lowerTransistors(size: Size, sheet: Sheet): void {
  leg(sheet, {
    name: 'A',
    plus: 'VIN',
    minus: 'GND',
    parallel: size.number('parallel'),
    device: 'mosfet',
    volts: size.number('volts'),
    sense: false,
    snubber: size.flag('snubber'),
    driveSupply: 'VCC',
  });
}

function lowerDiodes(size: Size, sheet: Sheet, volts: number): void {
  const count = size.number('parallel');
  sheet.heading('Switch and freewheeling diodes');
  const arms = { parallel: count, device: 'mosfet', volts, bank: 'switches', heatsink: 'main' };
  arm(sheet, { ...arms, high: 'VIN', low: 'SW_A', drive: 'GATE_OUT' });
  diodes(sheet, { A: 'GND', K: 'SW_A' }, { count, volts, bank: 'freewheeling diodes' });
  if (size.flag('snubber')) snubber(sheet, 'SW_A', 'SNUB', 'GND', volts);
}

function diodes(
  sheet: Sheet,
  pins: { readonly A: string; readonly K: string },
  of: { readonly count: number; readonly volts: number; readonly bank: string },
): void {
  const kind = of.volts > 100 ? 'diode' : 'schottky';
  for (let each = 0; each < of.count; each++) {
    const set = of.count > 1 ? { bank: of.bank } : {};
    const facts = { volts: rectifierVolts(of.volts), heatsink: 'main', ...set };
    sheet.part('D', kind, pins, { ...facts, guess: ['usual kind and rating'] });
  }
}

function senseResistor(sheet: Sheet, from: string, to: string): void {
  const facts = { ohms: '5m', tolerance: '1%', text: 'sense', guess: USUAL };
  sheet.part('R', 'resistor', [from, to], facts);
}

export const BOOST: Skeleton = {
  name: 'boost',
  title: 'Boost converter',
  summary: 'step-up converter: inductor, transistors to ground, diodes to the output',
  questions: [
    busVolts(24),
    output(48),
    parallel(2, 'Switches in parallel, and diodes:'),
    DEVICE,
    bulk(2),
    OUTPUT_CAPACITORS,
    sense(true),
    SNUBBER,
  ],
  objection: (size) =>
    size.number('output') > size.number('volts')
      ? undefined
      : "a boost converter's output lies above its supply",
  draw: (size, sheet) => {
    rails(size, sheet);
    const volts = size.number('output');
    const count = size.number('parallel');
    const foot = size.flag('sense') ? 'SENSE' : 'GND';
    sheet.heading('Inductor, switch and diodes');
    sheet.part('L', 'inductor', ['VIN', 'SW'], { henries: '100u', ohms: '20m', guess: USUAL });
    const device = size.word('device');
    const arms = { parallel: count, device, volts, bank: 'switches', heatsink: 'main' };
    arm(sheet, { ...arms, high: 'SW', low: foot, drive: 'GATE_OUT' });
    if (size.flag('sense')) senseResistor(sheet, foot, 'GND');
    diodes(sheet, { A: 'SW', K: 'VOUT' }, { count, volts, bank: 'diodes' });
    if (size.flag('snubber')) snubber(sheet, 'SW', 'SNUB', 'GND', volts);
    outputSide(size, sheet);
    controller(size, sheet, {
      GATE: 'GATE_OUT',
      ...(size.flag('sense') ? { CS: foot } : {}),
    });
  },
};
