import { checkShape } from '../board/check-shape.ts';
import type { Checked } from '../board/checked.ts';
import { entriesOf, fieldOf, itemsOf, numberOf } from '../board/checked.ts';
import { InputError } from '../board/diagnostic.ts';
import { Findings } from '../board/findings.ts';
import { readDocument } from '../board/read-yaml.ts';
import { SourceText } from '../board/source-text.ts';
import { formatOhms } from '../board/units.ts';
import { COMMON_HANDHELD, type Drive, type Meter, type Range } from './meter.ts';
import * as complaints from './meter-complaints.ts';
import { METER_MODES, METERS_SHAPE } from './meter-shape.ts';

/** A good silicon or Schottky junction takes more than this before its share of a reading counts, V. */
const JUNCTION_VOLTS = 0.12;
/** Below this ratio the beeper would be taken for more than it is. */
const LEAST_SPREAD = 0.01;

/**
 * Reads meters, the catalogue's or a shop's own, by name in file order.
 * @param text what the file holds
 * @param file its name as given, for messages
 * @throws {InputError} with everything wrong in it, in file order
 */
export function loadMeters(text: string, file: string): Map<string, Meter> {
  const findings = new Findings(new SourceText(text, file));
  const raw = read(findings.source);
  if (raw === undefined) findings.error({ start: 0, end: 0 }, complaints.noMeters());
  const checked = raw && checkShape(raw, METERS_SHAPE, findings);
  const meters = new Map<string, Meter>();
  for (const [name, { value }] of entriesOf(checked)) {
    if (value !== undefined) meters.set(name, readMeter(name, value, findings));
  }
  const errors = findings.errors();
  if (errors.length > 0) throw new InputError(errors.map(complaints.inMeterWords));
  return meters;
}

function read(source: SourceText): ReturnType<typeof readDocument> {
  try {
    return readDocument(source);
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    throw new InputError(error.diagnostics.map(complaints.inMeterWords));
  }
}

/** Whatever is missing was reported; the figures put in its place never leave this file. */
function readMeter(name: string, piece: Checked, findings: Findings): Meter {
  const beeper = fieldOf(piece, 'beeper');
  const spread = fieldOf(beeper, 'spread');
  const drives = readDrives(fieldOf(piece, 'modes'), findings);
  if (spread !== undefined && (numberOf(spread) ?? 1) < LEAST_SPREAD) {
    findings.error(spread, complaints.spreadTooSmall());
  }
  const figure = (key: string, of: Checked | undefined = piece): number =>
    numberOf(fieldOf(of, key)) ?? 0;
  return {
    name,
    beepOhms: figure('ohms', beeper),
    beepSpread: numberOf(spread) ?? 0,
    leadOhms: figure('leads'),
    contactOhms: figure('contact'),
    gainRatio: figure('gain'),
    ...boundsOf(drives),
    drives,
  };
}

/** What follows from how the modes drive the points. */
function boundsOf(
  drives: Meter['drives'],
): Pick<Meter, 'rangeOhms' | 'diodeAmps' | 'diodeVolts' | 'junctionOhms'> {
  const { ohms, diode } = drives;
  const ranges = ohms?.ranges ?? [];
  const last = ranges.at(-1);
  const strongest = Math.max(...ranges.map(({ amps }) => amps));
  return {
    rangeOhms: ohms && last ? Math.min(last.ohms, ohms.volts / last.amps) : 0,
    diodeAmps: diode?.ranges[0]?.amps ?? COMMON_HANDHELD.diodeAmps,
    diodeVolts: diode?.volts ?? COMMON_HANDHELD.diodeVolts,
    junctionOhms: JUNCTION_VOLTS / strongest,
  };
}

function readDrives(piece: Checked | undefined, findings: Findings): Meter['drives'] {
  const drives: Partial<Record<(typeof METER_MODES)[number], Drive>> = {};
  for (const mode of METER_MODES) {
    const found = fieldOf(piece, mode);
    if (found !== undefined) drives[mode] = readDrive(found, findings);
  }
  return drives;
}

function readDrive(piece: Checked, findings: Findings): Drive {
  const volts = numberOf(fieldOf(piece, 'volts')) ?? Number.POSITIVE_INFINITY;
  const items = itemsOf(fieldOf(piece, 'ranges'));
  const ranges = items.map((item) => readRange(item));
  ranges.forEach((range, k) => {
    const item = items[k];
    const before = ranges[k - 1];
    if (item === undefined) return;
    if (before !== undefined && before.ohms === Number.POSITIVE_INFINITY) {
      const spot = items[k - 1] ?? item;
      findings.error(spot, complaints.openRangeNotLast());
    } else if (before !== undefined && range.ohms <= before.ohms) {
      findings.error(fieldOf(item, 'ohms') ?? item, complaints.rangesOutOfOrder());
    } else if (before !== undefined && volts / range.amps <= before.ohms) {
      const reached = formatOhms(volts / range.amps);
      findings.error(fieldOf(item, 'amps') ?? item, complaints.rangeBeyondVolts(reached));
    }
  });
  return { ranges, volts };
}

function readRange(piece: Checked): Range {
  return {
    ohms: numberOf(fieldOf(piece, 'ohms')) ?? Number.POSITIVE_INFINITY,
    amps: numberOf(fieldOf(piece, 'amps')) ?? Number.NaN,
  };
}
