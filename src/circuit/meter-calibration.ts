import { InputError } from '../board/diagnostic.ts';
import type { Complaint } from '../board/findings.ts';
import { formatOhms } from '../board/units.ts';
import type { Meter } from './meter.ts';
import { fitScale, type Scale } from './meter-scale.ts';
import { fitThreshold, resistorBetween, resistorNear, type Threshold } from './meter-threshold.ts';
import { readTrials, type Trial, type Trials } from './meter-trials.ts';

/** A meter as its owner's touches of known resistors have it. */
export interface Calibration {
  readonly meter: Meter;
  /** The meter whose figures were kept where no touch tells. */
  readonly like: string;
  readonly scale: Scale;
  /** Undefined when no touch was a beep or a quiet. */
  readonly threshold?: Threshold;
  /** A resistor, Ω, that would narrow a wide threshold most. */
  readonly tryNext?: number;
}

/** Resistances further apart than this, as a ratio, are no wandering of one threshold. */
const MOST_OVERLAP = 2;
/** A bracket wider than this is worth one more resistor. */
const WIDE_BRACKET = 1.6;

/**
 * Works out a meter from touches of known resistors.
 * @param text lines as {@link readTrials} takes them
 * @param like gives every figure the touches do not tell, the modes among them
 * @throws {InputError} when a line cannot be read, when touches contradict each other, or when
 *   beeps or quiets alone leave the threshold open to one side
 */
export function calibrate(
  text: string,
  file: string,
  like: Meter,
  name: string = `${like.name}, calibrated`,
): Calibration {
  const read = readTrials(text, file);
  refuseNone(read);
  for (const trial of read.trials) if (isUnlikely(trial)) complain(read, trial, unlikely(trial));
  throwFound(read);
  const scale = fitScale(read.trials, like);
  const base: Meter = {
    ...like,
    name,
    leadOhms: scale.leads.ohms,
    contactOhms: scale.contact.ohms,
    gainRatio: scale.gain.ratio,
  };
  const bracket = bracketOf(read, base);
  if (bracket === undefined) return { meter: base, like: like.name, scale };
  const threshold = fitThreshold(read.trials, base, bracket);
  const meter = { ...base, beepOhms: threshold.ohms, beepSpread: threshold.spread };
  const isWide = bracket.quiet / bracket.beep > WIDE_BRACKET;
  const next = isWide ? resistorBetween(bracket.beep, bracket.quiet) : undefined;
  const plain = { meter, like: like.name, scale, threshold };
  return next === undefined ? plain : { ...plain, tryNext: next };
}

function bracketOf(
  read: Trials,
  meter: Meter,
): { readonly beep: number; readonly quiet: number } | undefined {
  const ofKind = (kind: Trial['kind']): Trial[] => read.trials.filter((each) => each.kind === kind);
  const beep = ofKind('beep').toSorted((a, b) => b.ohms - a.ohms)[0];
  const quiet = ofKind('quiet').toSorted((a, b) => a.ohms - b.ohms)[0];
  if (beep === undefined && quiet === undefined) return undefined;
  if (quiet === undefined) complain(read, beep, onlyBeeps(beep?.ohms ?? 1));
  else if (beep === undefined) complain(read, quiet, onlyQuiets(quiet.ohms));
  else if (overlap(beep.ohms, quiet.ohms, meter) > MOST_OVERLAP) {
    complain(
      read,
      quiet,
      contradiction(quiet, beep, read.findings.source.lineAt(beep.start), meter),
    );
  }
  throwFound(read);
  return { beep: beep?.ohms ?? 0, quiet: quiet?.ohms ?? 0 };
}

/** How far a beep lies above a quiet, as a ratio, once contacts at their worst are allowed for. */
function overlap(beep: number, quiet: number, { leadOhms, contactOhms }: Meter): number {
  const slack = 3 * contactOhms;
  return Math.max(beep + leadOhms - slack, 0) / (quiet + leadOhms + slack);
}

/** Ω that leads may add before a reading is of another resistor or in another unit. */
const MOST_LEADS = 5;

function isUnlikely(trial: Trial): boolean {
  if (trial.kind !== 'shows') return false;
  const { ohms, shown } = trial;
  return shown > 1.2 * ohms + MOST_LEADS || shown < 0.8 * ohms - 0.5;
}

function complain({ findings }: Trials, trial: Trial | undefined, complaint: Complaint): void {
  findings.error(trial ?? { start: 0, end: 0 }, complaint);
}

function throwFound({ findings }: Trials): void {
  if (findings.errors().length > 0) throw new InputError(findings.errors());
}

function refuseNone(read: Trials): void {
  if (read.trials.length > 0 || read.findings.errors().length > 0) return;
  complain(read, undefined, {
    code: 'EMPTY',
    message: 'no resistor was touched',
    hint: 'a line is e.g. "leads 0.3 ohm", "10 ohm shows 10.3 ohm", "47 ohm beep" or "68 ohm quiet"',
  });
}

function unlikely({ text }: Trial): Complaint {
  return {
    code: 'UNLIKELY',
    message: `"${text}" is further off than any meter in order`,
    hint: 'another resistor, or another unit? touch it again',
  };
}

function onlyBeeps(highest: number): Complaint {
  return {
    code: 'ONE_MORE',
    message: `every resistor up to ${formatOhms(highest)} beeps: the threshold may be anywhere above`,
    hint: `touch one more that stays quiet, of about ${formatOhms(resistorNear(2.2 * highest))}`,
  };
}

function onlyQuiets(lowest: number): Complaint {
  return {
    code: 'ONE_MORE',
    message: `every resistor down to ${formatOhms(lowest)} is quiet: the threshold may be anywhere below`,
    hint: `touch one more that beeps, of about ${formatOhms(resistorNear(lowest / 2.2))}`,
  };
}

function contradiction(quiet: Trial, beep: Trial, line: number, meter: Meter): Complaint {
  const leads = formatOhms(Math.max(6 * meter.contactOhms, 0.1));
  return {
    code: 'CONTRADICTION',
    message: `"${quiet.text}" and "${beep.text}" on line ${line} cannot both be true of one beeper`,
    hint: `leads and contacts explain ${leads} of difference; touch both again and take out the wrong line`,
  };
}
