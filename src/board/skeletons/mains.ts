import { OFTEN, storage, USUAL } from './blocks.ts';
import { rectifierVolts, suppressorVolts } from './ratings.ts';
import type { Sheet } from './sheet.ts';
import type { Size } from './skeleton.ts';

/** What an isolated supply has on its mains side, and at its outputs. */

export const MAINS = {
  name: 'mains',
  ask: 'Does the board rectify mains itself (no: a DC bus comes in)?',
  is: 'yes-or-no',
  usual: true,
} as const;

export const OUTPUTS = {
  name: 'outputs',
  ask: 'Volts of each output, e.g. 24 5:',
  is: 'volts-list',
  most: 400,
  usual: [24],
} as const;

export const RECTIFIERS = {
  name: 'rectifiers',
  ask: 'Rectifier diodes in parallel at each output:',
  is: 'count',
  least: 1,
  most: 8,
  usual: 2,
} as const;

export const CAPACITORS = {
  name: 'capacitors',
  ask: 'Capacitors in parallel at each output:',
  is: 'count',
  least: 1,
  most: 16,
  usual: 2,
} as const;

const MAINS_VOLTS = 230;

/** Fuse, varistor, X capacitor, rectifier and bulk; or a DC bus through a fuse. */
export function primaryIn(size: Size, sheet: Sheet): void {
  const volts = size.number('volts');
  const bulk = { plus: 'HV', minus: 'PGND', volts, bulk: size.number('bulk') };
  if (size.flag('mains')) {
    sheet.rail('mains', 'AC_L', 'AC_N', MAINS_VOLTS);
    sheet.rail('bulk', 'HV', 'PGND', volts);
    sheet.heading('Mains in');
    sheet.part('J', 'connector', { L: 'AC_IN', N: 'AC_N' }, { text: 'mains' });
    sheet.part('F', 'fuse', ['AC_IN', 'AC_F']);
    sheet.part('RT', 'thermistor', ['AC_F', 'AC_L'], { ohms: 5, text: 'inrush', guess: OFTEN });
    sheet.part('RV', 'varistor', ['AC_L', 'AC_N'], { volts: 275, guess: OFTEN });
    const across = { farads: '220n', volts: 275, text: 'X2', guess: USUAL };
    sheet.part('C', 'film', ['AC_L', 'AC_N'], across);
    const facts = { volts: rectifierVolts(volts), guess: ['one part, not four diodes'] };
    const pins = { plus: 'HV', minus: 'PGND', AC1: 'AC_L', AC2: 'AC_N' };
    sheet.part('BR', 'bridge-rectifier', pins, facts);
  } else {
    sheet.rail('bulk', 'HV', 'PGND', volts);
    sheet.heading('DC bus in');
    sheet.part('J', 'connector', { 1: 'HV_IN', 2: 'PGND' }, { text: 'supply' });
    sheet.part('F', 'fuse', ['HV_IN', 'HV']);
  }
  sheet.heading('Bulk');
  storage(sheet, bulk, 'bulk capacitors');
}

/** What the controller of a primary side is fed by. */
export function primarySupply(sheet: Sheet, aux: string): void {
  sheet.part('R', 'resistor', ['HV', 'START'], { ohms: '150k', text: 'start-up', guess: USUAL });
  sheet.part('R', 'resistor', ['START', 'VCC_P'], { ohms: '150k', text: 'start-up', guess: USUAL });
  sheet.part('D', 'diode', { A: aux, K: 'AUX_R' }, { volts: 200, guess: USUAL });
  sheet.part('R', 'resistor', ['AUX_R', 'VCC_P'], { ohms: '4.7', guess: USUAL });
  const store = { farads: '47u', volts: 35, guess: USUAL };
  sheet.part('C', 'electrolytic', { plus: 'VCC_P', minus: 'PGND' }, store);
  sheet.part('C', 'ceramic', ['VCC_P', 'PGND'], { farads: '100n', volts: 50, guess: USUAL });
}

/** Optocoupler and shunt regulator that hold the first output. */
export function regulation(sheet: Sheet, volts: number): void {
  sheet.heading('Regulation, across the barrier');
  sheet.part('U', 'optocoupler', { A: 'OPTO_A', K: 'OPTO_K', C: 'COMP', E: 'PGND' });
  const regulator = { text: 'shunt regulator', guess: ['kind of regulator'] };
  sheet.part('U', 'ic', { REF: 'REF', A: 'SGND', K: 'OPTO_K' }, regulator);
  sheet.part('R', 'resistor', ['OUT1', 'OPTO_A'], { ohms: '1k', guess: USUAL });
  const upper = Math.max(1, Math.round((volts / 2.5 - 1) * 10));
  sheet.part('R', 'resistor', ['OUT1', 'REF'], {
    ohms: `${upper}k`,
    tolerance: '1%',
    guess: USUAL,
  });
  sheet.part('R', 'resistor', ['REF', 'SGND'], { ohms: '10k', tolerance: '1%', guess: USUAL });
  sheet.part('C', 'ceramic', ['OPTO_K', 'REF'], { farads: '100n', volts: 50, guess: OFTEN });
  const barrier = { farads: '2n2', volts: 400, text: 'Y1', guess: USUAL };
  sheet.part('C', 'ceramic', ['PGND', 'SGND'], barrier);
}

/** Rectifier diodes of one output in parallel. */
export function rectifiers(
  sheet: Sheet,
  pins: { readonly A: string; readonly K: string },
  of: { readonly count: number; readonly volts: number; readonly bank: string },
): void {
  // A rectifier behind a transformer blocks several times what it delivers.
  const rated = rectifierVolts(of.volts * 3);
  for (let each = 0; each < of.count; each++) {
    const set = of.count > 1 ? { bank: of.bank } : {};
    const facts = { volts: rated, heatsink: 'secondary', ...set, guess: ['usual kind and rating'] };
    sheet.part('D', of.volts > 60 ? 'diode' : 'schottky', pins, facts);
  }
}

/** A suppressor and a lamp across an output, and its terminals. */
export function outputEnd(sheet: Sheet, name: string, volts: number): void {
  const facts = { volts: suppressorVolts(volts), guess: OFTEN };
  if (volts <= 100) sheet.part('D', 'suppressor', { A: 'SGND', K: name }, facts);
  const load = { ohms: volts > 60 ? '47k' : '2k2', text: 'least load', guess: OFTEN };
  sheet.part('R', 'resistor', [name, 'SGND'], load);
  sheet.part('J', 'connector', { 1: name, 2: 'SGND' }, { text: 'output' });
}
