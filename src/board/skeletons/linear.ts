import { bypass, OFTEN, storage, USUAL } from './blocks.ts';
import { rectifierVolts, suppressorVolts } from './ratings.ts';
import type { Sheet } from './sheet.ts';
import type { Size, Skeleton } from './skeleton.ts';

const MAINS_VOLTS = 230;
/** What the raw rail has over the output, so that the pass transistors can regulate. */
const HEADROOM = 1.5;

/** Rectified and smoothed, then pass transistors or a three-terminal regulator. */
export const LINEAR_SUPPLY: Skeleton = {
  name: 'linear-supply',
  title: 'Linear supply',
  summary: 'mains transformer, rectifier, pass transistors or a three-terminal regulator',
  questions: [
    { name: 'output', ask: 'Volts of the output:', is: 'volts', most: 200, usual: 12 },
    {
      name: 'pass',
      ask: 'Pass transistors in parallel (0: a three-terminal regulator):',
      is: 'count',
      least: 0,
      most: 16,
      usual: 2,
    },
    {
      name: 'bulk',
      ask: 'Reservoir capacitors in parallel:',
      is: 'count',
      least: 1,
      most: 24,
      usual: 2,
    },
    {
      name: 'transformer',
      ask: 'Is the mains transformer on the board?',
      is: 'yes-or-no',
      usual: true,
    },
  ],
  draw: (size, sheet) => {
    const volts = size.number('output');
    const raw = Math.round(volts * HEADROOM * 10) / 10;
    if (size.flag('transformer')) sheet.rail('mains', 'AC_L', 'AC_N', MAINS_VOLTS);
    sheet.rail('raw', 'RAW', 'GND', raw);
    sheet.rail('output', 'OUT', 'GND', volts);
    acIn(size, sheet);
    sheet.heading('Rectifier and reservoir');
    const facts = { volts: rectifierVolts(raw), guess: ['one part, not four diodes'] };
    const pins = { plus: 'RAW', minus: 'GND', AC1: 'SEC_A', AC2: 'SEC_B' };
    sheet.part('BR', 'bridge-rectifier', pins, { ...facts, heatsink: 'main' });
    const rail = { plus: 'RAW', minus: 'GND', volts: raw, bulk: size.number('bulk') };
    storage(sheet, rail, 'reservoir capacitors');
    if (size.number('pass') === 0) threeTerminal(sheet);
    else passTransistors(size, sheet);
    sheet.heading('Output');
    storage(sheet, { plus: 'OUT', minus: 'GND', volts, bulk: 1 }, 'output capacitors');
    const guard = { volts: suppressorVolts(volts), guess: OFTEN };
    if (volts <= 100) sheet.part('D', 'suppressor', { A: 'GND', K: 'OUT' }, guard);
    const back = { volts: rectifierVolts(raw), text: 'from output back to raw', guess: OFTEN };
    sheet.part('D', 'diode', { A: 'OUT', K: 'RAW' }, back);
    sheet.part('J', 'connector', { 1: 'OUT', 2: 'GND' }, { text: 'output' });
  },
};

function acIn(size: Size, sheet: Sheet): void {
  if (!size.flag('transformer')) {
    sheet.heading('AC in');
    sheet.part('J', 'connector', { 1: 'AC_A', 2: 'SEC_B' }, { text: 'from the transformer' });
    sheet.part('F', 'fuse', ['AC_A', 'SEC_A']);
    return;
  }
  sheet.heading('Mains in');
  sheet.part('J', 'connector', { L: 'AC_IN', N: 'AC_N' }, { text: 'mains' });
  sheet.part('F', 'fuse', ['AC_IN', 'AC_L']);
  sheet.part('RV', 'varistor', ['AC_L', 'AC_N'], { volts: 275, guess: OFTEN });
  const across = { farads: '100n', volts: 275, text: 'X2', guess: OFTEN };
  sheet.part('C', 'film', ['AC_L', 'AC_N'], across);
  sheet.part(
    'T',
    'transformer',
    { 1: 'AC_L', 2: 'AC_N', 3: 'SEC_A', 4: 'SEC_B' },
    {
      windings: {
        primary: { pins: ['1', '2'], ohms: 40 },
        secondary: { pins: ['3', '4'], ohms: 0.3 },
      },
      guess: ['numbers of pins', 'usual ohms'],
    },
  );
}

function threeTerminal(sheet: Sheet): void {
  sheet.heading('Regulator');
  const facts = { heatsink: 'main', guess: ['order of pins differs by type'] };
  sheet.part('U', 'regulator', { IN: 'RAW', GND: 'GND', OUT: 'OUT' }, facts);
}

/** Emitter followers with a resistor each, one driving them, an amplifier and its reference. */
function passTransistors(size: Size, sheet: Sheet): void {
  const count = size.number('pass');
  sheet.heading('Pass transistors and their driver');
  for (let each = 0; each < count; each++) {
    const emitter = `E${sheet.nextNumber('Q')}`;
    const set = count > 1 ? { bank: 'pass transistors' } : {};
    const facts = { heatsink: 'main', ...set, guess: ['NPN'] };
    sheet.part('Q', 'npn', { B: 'BASE', C: 'RAW', E: emitter }, facts);
    sheet.part('R', 'resistor', [emitter, 'OUT'], { ohms: 0.1, text: 'emitter', guess: USUAL });
  }
  sheet.part('R', 'resistor', ['BASE', 'OUT'], { ohms: 220, guess: OFTEN });
  sheet.part('Q', 'npn', { B: 'DRIVE', C: 'RAW', E: 'BASE' }, { text: 'driver', guess: ['NPN'] });
  sheet.heading('Reference and amplifier');
  const pins = { 'V+': 'RAW', 'V-': 'GND', OUT: 'AMP_OUT', 'IN+': 'REF', 'IN-': 'FB' };
  sheet.part('U', 'ic', pins, { text: 'amplifier', guess: ['pins of a usual amplifier'] });
  sheet.part('R', 'resistor', ['AMP_OUT', 'DRIVE'], { ohms: 470, guess: USUAL });
  bypass(sheet, 'RAW', 'GND', size.number('output') * HEADROOM);
  sheet.part('R', 'resistor', ['OUT', 'REF'], { ohms: '1k5', guess: USUAL });
  sheet.part('D', 'zener', { A: 'GND', K: 'REF' }, { volts: 5.1, text: 'reference', guess: USUAL });
  sheet.part('R', 'resistor', ['OUT', 'FB'], { ohms: '13k', tolerance: '1%', guess: USUAL });
  sheet.part('R', 'resistor', ['FB', 'GND'], { ohms: '10k', tolerance: '1%', guess: USUAL });
}
