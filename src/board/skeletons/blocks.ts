import {
  bleederOhms,
  bulkFarads,
  capacitorVolts,
  rectifierVolts,
  suppressorVolts,
  transistorVolts,
} from './ratings.ts';
import type { Sheet } from './sheet.ts';

/** Pieces that many stages share. */

/** A value that such boards usually have; the one on the bench may be another. */
export const USUAL = ['usual value'] as const;
/** Many such boards have it, not all. */
export const OFTEN = ['often there', 'usual value'] as const;

export interface Supply {
  readonly plus: string;
  readonly minus: string;
  readonly volts: number;
  /** Net between connector and fuse. */
  readonly from: string;
  /** Electrolytic capacitors in parallel. */
  readonly bulk: number;
}

/** DC comes in through a fuse: suppressor, bulk and bypass capacitors, bleeder. */
export function dcIn(sheet: Sheet, supply: Supply): void {
  const { plus, minus, volts, from } = supply;
  sheet.part('J', 'connector', { 1: from, 2: minus }, { text: 'supply' });
  sheet.part('F', 'fuse', [from, plus]);
  if (volts <= 100) {
    const facts = { volts: suppressorVolts(volts), guess: OFTEN };
    sheet.part('D', 'suppressor', { A: minus, K: plus }, facts);
  }
  storage(sheet, supply, 'bulk capacitors');
  sheet.part('R', 'resistor', [plus, minus], {
    ohms: bleederOhms(volts),
    text: 'bleeder',
    guess: OFTEN,
  });
}

/** Electrolytic capacitors of a rail as one bank, and a film or ceramic one beside them. */
export function storage(
  sheet: Sheet,
  { plus, minus, volts, bulk }: Pick<Supply, 'plus' | 'minus' | 'volts' | 'bulk'>,
  bank: string,
): void {
  const rated = capacitorVolts(volts);
  for (let each = 0; each < bulk; each++) {
    const facts = { farads: bulkFarads(volts), volts: rated, guess: USUAL };
    const set = bulk > 1 ? { bank } : {};
    sheet.part('C', 'electrolytic', { plus, minus }, { ...facts, ...set });
  }
  const kind = volts > 63 ? 'film' : 'ceramic';
  const farads = volts > 200 ? '100n' : '1u';
  sheet.part('C', kind, [plus, minus], { farads, volts: rated, guess: USUAL });
}

/** A ceramic capacitor across a supply of ICs. */
export function bypass(sheet: Sheet, plus: string, minus: string, volts: number): void {
  const facts = { farads: '1u', volts: capacitorVolts(volts), guess: USUAL };
  sheet.part('C', 'ceramic', [plus, minus], facts);
}

export interface Arm {
  /** Nets of the drain or collector, of the source or emitter, and of what drives the gates. */
  readonly high: string;
  readonly low: string;
  readonly drive: string;
  readonly parallel: number;
  readonly device: string;
  /** What the stage's rail carries, V. */
  readonly volts: number;
  readonly bank: string;
  readonly heatsink: string;
}

/** Transistors in parallel, a gate resistor each, and one resistor that keeps them off. */
export function arm(sheet: Sheet, of: Arm): void {
  const facts = {
    volts: transistorVolts(of.volts),
    heatsink: of.heatsink,
    ...(of.parallel > 1 ? { bank: of.bank } : {}),
    guess: ['usual rating'],
  };
  for (let each = 0; each < of.parallel; each++) {
    const gate = `G${sheet.nextNumber('Q')}`;
    const pins =
      of.device === 'igbt'
        ? { G: gate, C: of.high, E: of.low }
        : { G: gate, D: of.high, S: of.low };
    sheet.part('Q', of.device === 'igbt' ? 'igbt' : 'n-mosfet', pins, facts);
    sheet.part('R', 'resistor', [of.drive, gate], { ohms: 10, text: 'gate', guess: USUAL });
  }
  const keepsOff = { ohms: '10k', text: 'keeps the gates down', guess: OFTEN };
  sheet.part('R', 'resistor', [of.drive, of.low], keepsOff);
}

export interface Leg {
  /** `U`, `V`, `A`: ends the names of its nets. */
  readonly name: string;
  readonly plus: string;
  readonly minus: string;
  readonly parallel: number;
  readonly device: string;
  readonly volts: number;
  /** A resistor between the lower transistors and minus. */
  readonly sense: boolean;
  /** RC from the middle to minus. */
  readonly snubber: boolean;
  /** Supply of the gate driver, against minus. */
  readonly driveSupply: string;
}

/** Upper and lower arm, their driver with its bootstrap, sense resistor and snubber. */
export function leg(sheet: Sheet, of: Leg): string {
  const { name, plus, minus, driveSupply } = of;
  const middle = `SW_${name}`;
  const foot = of.sense ? `SENSE_${name}` : minus;
  const common = { parallel: of.parallel, device: of.device, volts: of.volts, heatsink: 'main' };
  sheet.heading(`Leg ${name}: upper and lower transistors, sense resistor, snubber`);
  arm(sheet, { ...common, high: plus, low: middle, drive: `HO_${name}`, bank: `upper ${name}` });
  arm(sheet, { ...common, high: middle, low: foot, drive: `LO_${name}`, bank: `lower ${name}` });
  if (of.sense) {
    const facts = { ohms: '2m', tolerance: '1%', text: 'sense', guess: USUAL };
    sheet.part('R', 'resistor', [foot, minus], facts);
  }
  if (of.snubber) snubber(sheet, middle, `SNUB_${name}`, minus, of.volts);
  sheet.heading(`Gate driver of leg ${name}`);
  driver(sheet, name, middle, of);
  const boost = { volts: rectifierVolts(of.volts), text: 'bootstrap', guess: USUAL };
  sheet.part('D', 'diode', { A: driveSupply, K: `BST_${name}` }, boost);
  const kept = { farads: '1u', volts: 25, text: 'bootstrap', guess: USUAL };
  sheet.part('C', 'ceramic', [`BST_${name}`, middle], kept);
  bypass(sheet, driveSupply, minus, 15);
  return middle;
}

function driver(sheet: Sheet, name: string, middle: string, of: Leg): void {
  const pins = {
    VCC: of.driveSupply,
    HIN: `HIN_${name}`,
    LIN: `LIN_${name}`,
    COM: of.minus,
    LO: `LO_${name}`,
    VS: middle,
    HO: `HO_${name}`,
    VB: `BST_${name}`,
  };
  sheet.part('U', 'ic', pins, { text: 'gate driver', guess: ['pins of a usual driver'] });
}

/** A resistor and a capacitor in series across a switch. */
export function snubber(
  sheet: Sheet,
  from: string,
  middle: string,
  to: string,
  volts: number,
): void {
  sheet.part('R', 'resistor', [from, middle], { ohms: '4.7', text: 'snubber', guess: OFTEN });
  const facts = { farads: '1n', volts: capacitorVolts(volts * 2), text: 'snubber', guess: OFTEN };
  sheet.part('C', 'ceramic', [middle, to], facts);
}

/** Supply and inputs of the gate drivers, from a control board. */
export function control(
  sheet: Sheet,
  { supply, minus, nets }: { supply: string; minus: string; nets: readonly string[] },
): void {
  sheet.heading('Control');
  const pins: Record<string, string> = { 1: supply, 2: minus };
  nets.forEach((net, i) => {
    pins[String(i + 3)] = net;
  });
  sheet.part('J', 'connector', pins, { text: 'control', guess: ['order of pins'] });
  const facts = { farads: '100u', volts: 25, guess: OFTEN };
  sheet.part('C', 'electrolytic', { plus: supply, minus }, facts);
}
