import { InputError } from '../board/diagnostic.ts';
import type { Drive, Meter } from './meter.ts';
import { loadMeters } from './meter-file.ts';
import { METER_MODES } from './meter-shape.ts';
import type { MeterMode } from './reading.ts';

/** A meter as plain data in the form of a meter file, with its name; what a job record keeps. */
export interface MeterFigures {
  readonly name: string;
  readonly beeper: { readonly ohms: number; readonly spread: string };
  readonly leads: number;
  readonly contact: number;
  readonly gain: string;
  readonly modes: Readonly<Partial<Record<MeterMode, ModeFigures>>>;
}

export interface ModeFigures {
  readonly ranges: readonly { readonly ohms?: number; readonly amps: number }[];
  readonly volts: number;
}

/** All figures of a meter; {@link meterFrom} gives the same meter back. */
export function figuresOf(meter: Meter): MeterFigures {
  const modes: Partial<Record<MeterMode, ModeFigures>> = {};
  for (const mode of METER_MODES) {
    const drive = meter.drives[mode];
    if (drive !== undefined) modes[mode] = modeFigures(drive);
  }
  return {
    name: meter.name,
    beeper: { ohms: meter.beepOhms, spread: percentText(meter.beepSpread) },
    leads: meter.leadOhms,
    contact: meter.contactOhms,
    gain: percentText(meter.gainRatio),
    modes,
  };
}

/**
 * The meter of {@link figuresOf}, checked like a file. Undefined when the data is none: written by
 * a newer version, or by hand.
 */
export function meterFrom(figures: unknown): Meter | undefined {
  if (typeof figures !== 'object' || figures === null) return undefined;
  const { name, ...rest } = figures as Readonly<Record<string, unknown>>;
  if (typeof name !== 'string') return undefined;
  try {
    return loadMeters(JSON.stringify({ [name]: rest }), 'meter').get(name);
  } catch (error) {
    if (error instanceof InputError) return undefined;
    throw error;
  }
}

/**
 * A meter file of one meter.
 * @param remarks lines of comment at its head
 */
export function printMeter(meter: Meter, remarks: readonly string[] = []): string {
  const { name, beeper, leads, contact, gain, modes } = figuresOf(meter);
  const drives = Object.entries(modes).flatMap(([mode, drive]) => [
    `    ${mode}:`,
    '      ranges:',
    ...drive.ranges.map(({ ohms, amps }) => `        - ${rangeText(ohms, amps)}`),
    `      volts: ${drive.volts}`,
  ]);
  return [
    ...remarks.map((remark) => `# ${remark}`),
    `${keyText(name)}:`,
    `  beeper: {ohms: ${beeper.ohms}, spread: ${beeper.spread}}`,
    `  leads: ${leads}`,
    `  contact: ${contact}`,
    `  gain: ${gain}`,
    '  modes:',
    ...drives,
    '',
  ].join('\n');
}

function modeFigures({ ranges, volts }: Drive): ModeFigures {
  return {
    ranges: ranges.map(({ ohms, amps }) => (Number.isFinite(ohms) ? { ohms, amps } : { amps })),
    volts,
  };
}

function rangeText(ohms: number | undefined, amps: number): string {
  return ohms === undefined ? `{amps: ${amps}}` : `{ohms: ${ohms}, amps: ${amps}}`;
}

/** Plain where YAML takes it so, quoted elsewhere. */
function keyText(name: string): string {
  return /^[A-Za-z][\w ,.()-]*$/.test(name) && !/[ ]$/.test(name) ? name : JSON.stringify(name);
}

/** Moves the point within the digits, so that reading it back gives the very same number. */
export function percentText(ratio: number): string {
  const plain = String(ratio).includes('e') ? ratio.toFixed(20) : String(ratio);
  const [whole = '0', fraction = ''] = plain.split('.');
  const moved = whole + fraction.slice(0, 2).padEnd(2, '0');
  const rest = fraction.slice(2);
  return `${moved.replace(/^0+(?=\d)/, '')}${rest === '' ? '' : `.${rest}`}%`;
}
