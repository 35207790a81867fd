import { harmless } from '../board/shown-text.ts';
import { formatAmps, formatOhms, formatVolts } from '../board/units.ts';
import type { Drive, Meter } from '../circuit/meter.ts';
import type { Calibration } from '../circuit/meter-calibration.ts';
import { figuresOf, type MeterFigures } from '../circuit/meter-figures.ts';
import { METER_MODES } from '../circuit/meter-shape.ts';
import type { MeterMode } from '../circuit/reading.ts';
import { MODE_WORDS } from './names.ts';
import type { Style } from './style.ts';
import { sentence } from './words.ts';
import { GLUE, labelled, wrap } from './wrap.ts';

const INDENT = 10;
const NAME_INDENT = 32;

/** The catalogue, a meter a row: name, where the beeper stops, modes. */
export function meterTableLines(meters: Iterable<Meter>, style: Style): string[] {
  const rows = [...meters].flatMap((meter) => {
    const modes = modesOf(meter).map((mode) => MODE_WORDS[mode]);
    const text = `beeps below ${glued(formatOhms(meter.beepOhms))}; ${modes.join('; ')}`;
    return labelled(`${harmless(meter.name)} `, text, NAME_INDENT, style.width);
  });
  return [
    ...rows,
    '',
    ...wrap(
      'One in full: trace-short meter NAME. In a job: trace-short start BOARD --meter NAME.',
      style.width,
    ),
    ...wrap('Your own, from a few resistors: trace-short meter --calibrate', style.width),
  ];
}

/** One meter in full. */
export function meterLines(meter: Meter, style: Style): string[] {
  const row = (label: string, text: string): string[] =>
    labelled(label, glued(text), INDENT, style.width);
  const { beepOhms, beepSpread, leadOhms, contactOhms, gainRatio } = meter;
  return [
    ...wrap(harmless(meter.name), style.width).map(style.palette.strong),
    ...row('Beeper', `sounds below ${formatOhms(beepOhms)}, give or take ${percents(beepSpread)}`),
    ...row(
      'Leads',
      `${formatOhms(leadOhms)} together; contacts differ by ${formatOhms(contactOhms)} from touch to touch`,
    ),
    ...row('Gain', `off by ${percents(gainRatio)} or so`),
    ...modesOf(meter).flatMap((mode) =>
      row('Mode', `${MODE_WORDS[mode]}: ${driveText(meter.drives[mode])}`),
    ),
  ];
}

/** What touches of known resistors told, in names and figures: what is shown, and `--json`. */
export interface CalibrationView {
  readonly meter: MeterFigures;
  readonly like: string;
  /** Figures no touch told, kept from the other meter. */
  readonly kept: readonly string[];
  /** Ω between which the threshold lies with a chance of 95 %. */
  readonly between?: readonly [number, number];
  /** Ω of a resistor that would narrow it most. */
  readonly tryNext?: number;
  /** Each fact as a sentence. */
  readonly facts: readonly string[];
}

/** What touches of known resistors say of a meter, with what would narrow it most. */
export function viewCalibration(calibration: Calibration): CalibrationView {
  const { meter, like, scale, threshold, tryNext } = calibration;
  const kept = [
    ...(threshold === undefined ? ['beeper'] : []),
    ...(['leads', 'contact', 'gain'] as const).filter((figure) => scale[figure].kept),
  ];
  return {
    meter: figuresOf(meter),
    like,
    kept,
    ...(threshold === undefined ? {} : { between: [threshold.low, threshold.high] as const }),
    ...(tryNext === undefined ? {} : { tryNext }),
    facts: factsOf(calibration, kept),
  };
}

/** What touches of known resistors say of a meter, as lines of text. */
export function calibrationLines(view: CalibrationView, style: Style): string[] {
  return [
    ...wrap(harmless(view.meter.name), style.width).map(style.palette.strong),
    ...view.facts.flatMap((fact) => labelled('-', glued(fact), 2, style.width)),
  ];
}

/** Ω of leads past which they are due. */
const WORN_OHMS = 1;

function factsOf(
  { meter, like, scale, threshold, tryNext }: Calibration,
  kept: string[],
): string[] {
  const facts: string[] = [];
  if (threshold !== undefined) {
    const { low, high, ohms, spread } = threshold;
    facts.push(
      `The beeper sounds below ${formatOhms(ohms)}, leads included, give or take ${percents(spread)}; ` +
        `the touches leave ${formatOhms(low)} to ${formatOhms(high)}.`,
    );
  }
  if (!scale.leads.kept) facts.push(`The leads have ${formatOhms(meter.leadOhms)} together.`);
  if (meter.leadOhms > WORN_OHMS) {
    facts.push(
      `Leads of more than ${formatOhms(WORN_OHMS)} are worn: fit new ones and begin again.`,
    );
  }
  if (!scale.contact.kept) {
    facts.push(`Contacts differ by ${formatOhms(meter.contactOhms)} from touch to touch.`);
  }
  if (!scale.gain.kept) facts.push(`Ohms are off by ${percents(meter.gainRatio)} or so.`);
  if (kept.length > 0) {
    facts.push(
      `Nothing told of ${kept.join(', ')}: kept from ${harmless(like)}, as are the modes.`,
    );
  } else facts.push(`The modes are those of ${harmless(like)}.`);
  if (tryNext !== undefined) {
    facts.push(
      `One more resistor, of about ${formatOhms(tryNext)}, would narrow the threshold most.`,
    );
  }
  return facts;
}

function modesOf({ drives }: Meter): MeterMode[] {
  return METER_MODES.filter((mode) => drives[mode] !== undefined);
}

function driveText(drive: Drive | undefined): string {
  if (drive === undefined) return '';
  const ranges = drive.ranges.map(({ ohms, amps }) =>
    Number.isFinite(ohms) ? `${formatOhms(ohms)} at ${formatAmps(amps)}` : formatAmps(amps),
  );
  return `${ranges.join(', ')}; ${formatVolts(drive.volts)} at most`;
}

function percents(ratio: number): string {
  return `${Number((ratio * 100).toPrecision(2))} %`;
}

/** No number parted from its unit. */
function glued(text: string): string {
  return sentence(text).replace(/(\d) (?=[%ΩµmknpMGAVs])/g, `$1${GLUE}`);
}
