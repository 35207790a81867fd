import type { Meter } from './meter.ts';
import type { Trial } from './meter-trials.ts';

/** Leads, contact and gain of a meter; `kept` where no touch told and the figure is another meter's. */
export interface Scale {
  readonly leads: { readonly ohms: number; readonly kept: boolean };
  readonly contact: { readonly ohms: number; readonly kept: boolean };
  /** How far off in proportion: the slope's own error and what is not known of it, together. */
  readonly gain: { readonly ratio: number; readonly kept: boolean };
}

interface Touch {
  /** The resistor's own Ω; 0 for the leads held together. */
  readonly ohms: number;
  readonly shown: number;
  readonly weight: number;
}

/** Known resistors are taken to be this exact. */
const RESISTOR_RATIO = 0.01;
/** Up to here a touch tells of leads and contacts, from here on of the gain, Ω. */
const LOW_OHMS = 10;
/** The last digit of a handheld is 0.1 Ω; half of it is what no repeat shows. */
const LEAST_CONTACT = 0.03;
const LEAST_GAIN = 0.0005;

/**
 * shown = leads + slope · ohms, by weighted least squares over every figure that was shown. Touches
 * up to 10 Ω are needed for the leads, from 10 Ω on for the slope, and three up to 10 Ω for the
 * spread of contacts; what they do not tell is kept from `like`.
 */
export function fitScale(trials: readonly Trial[], like: Meter): Scale {
  const touches = trials.flatMap((trial): Touch[] => {
    if (trial.kind !== 'shows') return [];
    const { ohms, shown } = trial;
    const sd = Math.hypot(Math.max(like.contactOhms, LEAST_CONTACT), RESISTOR_RATIO * ohms);
    return [{ ohms, shown, weight: 1 / sd ** 2 }];
  });
  const low = touches.filter(({ ohms }) => ohms <= LOW_OHMS);
  const tellsGain = touches.some(({ ohms }) => ohms >= LOW_OHMS);
  const line = fitLine(touches, low.length > 0 ? undefined : like.leadOhms, tellsGain);
  const contact = contactOf(low, line);
  const ratio = Math.hypot(line.slope - 1, line.slopeError);
  return {
    leads:
      low.length > 0
        ? { ohms: rounded(Math.max(0, line.leads)), kept: false }
        : { ohms: like.leadOhms, kept: true },
    contact:
      contact === undefined
        ? { ohms: like.contactOhms, kept: true }
        : { ohms: rounded(Math.max(contact, LEAST_CONTACT)), kept: false },
    gain: line.hasSlope
      ? { ratio: rounded(Math.max(ratio, LEAST_GAIN)), kept: false }
      : { ratio: like.gainRatio, kept: true },
  };
}

interface Fitted {
  readonly leads: number;
  readonly slope: number;
  readonly slopeError: number;
  readonly hasSlope: boolean;
}

/** @param leads Ω when they are given, and only the slope is to be found */
function fitLine(touches: readonly Touch[], leads: number | undefined, tellsGain: boolean): Fitted {
  const sum = (of: (touch: Touch) => number): number =>
    touches.reduce((all, touch) => all + touch.weight * of(touch), 0);
  const weight = sum(() => 1);
  const middle = leads === undefined ? sum(({ ohms }) => ohms) / weight : 0;
  const base = leads ?? sum(({ shown }) => shown) / weight;
  const square = sum(({ ohms }) => (ohms - middle) ** 2);
  if (!tellsGain || !(square > 0)) {
    const plain = leads ?? sum(({ ohms, shown }) => shown - ohms) / weight;
    return { leads: plain, slope: 1, slopeError: 0, hasSlope: false };
  }
  const slope = sum(({ ohms, shown }) => (ohms - middle) * (shown - base)) / square;
  const found = leads ?? base - slope * middle;
  const free = touches.length - (leads === undefined ? 2 : 1);
  const misfit = sum(({ ohms, shown }) => (shown - found - slope * ohms) ** 2);
  const scale = free > 0 ? misfit / free : 1;
  return { leads: found, slope, slopeError: Math.sqrt(scale / square), hasSlope: true };
}

function contactOf(low: readonly Touch[], { leads, slope }: Fitted): number | undefined {
  if (low.length < 3) return undefined;
  const squares = low.reduce(
    (all, { ohms, shown }) => all + (shown - leads - slope * ohms) ** 2,
    0,
  );
  return Math.sqrt(squares / (low.length - 1));
}

function rounded(value: number): number {
  return Number(value.toPrecision(3));
}
