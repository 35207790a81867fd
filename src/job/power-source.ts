/** What a stage is fed from, and how far its current may go. The figures are ours; a shop's own come first. */
import type { Board } from '../board/model.ts';
import type { RailLoad } from './rail-load.ts';
import type { FedGroup } from './rail-order.ts';
import { ratedAmps } from './rated-amps.ts';

/** What power is brought in from. */
export interface PowerSource {
  /** Through an isolation transformer, a series lamp and a variable transformer. */
  readonly isMains: boolean;
  /** Mains, or DC that is dangerous to touch. */
  readonly isDangerous: boolean;
  /** V, rms on mains; undefined when the board file does not say. */
  readonly volts?: number;
  /** The lamp in series, W: an incandescent one, which limits by getting hot. */
  readonly lampWatts?: number;
  /** A the lamp lets into a dead short. */
  readonly lampAmps?: number;
  /** A of the board's fuse, where its text says. */
  readonly fuseAmps?: number;
}

/** DC above which a bare conductor is dangerous to touch, V (IEC 62368-1, ES1). */
export const TOUCH_VOLTS = 60;
/** What a rail is called that is dangerous though its voltage is not told. */
const HIGH_NAME = /HV|high|bulk|PFC/i;
/** Lamps to be had, by the fuse of the board, A: a larger one only where the board needs it to start. */
const LAMPS: readonly { readonly upTo: number; readonly watts: number }[] = [
  { upTo: 1.25, watts: 40 },
  { upTo: 3.15, watts: 60 },
  { upTo: Number.POSITIVE_INFINITY, watts: 100 },
];
const USUAL_LAMP_WATTS = 60;

export function sourceFor(board: Board, group: FedGroup, isApart: boolean): PowerSource {
  const { volts } = group;
  const isMains = group.isMains && !isApart;
  const names = group.rails.map((rail) => board.rails[rail]?.name ?? '');
  const isHigh =
    volts === undefined ? names.some((name) => HIGH_NAME.test(name)) : volts >= TOUCH_VOLTS;
  const base = {
    isMains,
    isDangerous: isMains || isHigh,
    ...(volts === undefined ? {} : { volts }),
  };
  const fuse = fuseAmps(board, group);
  const fused = fuse === undefined ? base : { ...base, fuseAmps: fuse };
  if (!isMains || volts === undefined) return fused;
  const lampWatts = LAMPS.find(({ upTo }) => (fuse ?? 0) <= upTo)?.watts ?? USUAL_LAMP_WATTS;
  const watts = fuse === undefined ? USUAL_LAMP_WATTS : lampWatts;
  return { ...fused, lampWatts: watts, lampAmps: watts / volts };
}

/** Settings one after the other; on mains the lamp comes out last. */
export function stepsOf({ isMains }: PowerSource): { share: number; isWithoutLamp: boolean }[] {
  const rising = [0.1, 0.5, 1].map((share) => ({ share, isWithoutLamp: false }));
  return isMains ? [...rising, { share: 1, isWithoutLamp: true }] : rising;
}

/** What an idle board may take beside its resistors before that is a reason to stop, A at full voltage. */
const IDLE_AMPS = 0.25;
/** Into a dangerous voltage less, for the energy is in the volts. */
const IDLE_AMPS_HIGH = 0.1;
const LEAST_LIMIT = 0.02;

/**
 * The current limit for a share of the voltage: twice what the resistors take there, and an allowance
 * for what the board file does not tell, less of it at low settings. Undefined on mains.
 */
export function limitAmps(
  { isMains, isDangerous }: PowerSource,
  share: number,
  load: RailLoad | undefined,
): number | undefined {
  if (isMains) return undefined;
  const idle = isDangerous ? IDLE_AMPS_HIGH : IDLE_AMPS;
  const allowed = idle * (share < 0.3 ? 0.2 : share < 0.8 ? 0.4 : 1);
  return settable(Math.max(LEAST_LIMIT, allowed + 2 * share * (load?.amps ?? 0)));
}

/** Rounded up to what a knob is set to: 1, 1.5, 2, 2.5, 3, 4, 5, 6, 8 of a decade. */
function settable(amps: number): number {
  const decade = 10 ** Math.floor(Math.log10(amps));
  const step =
    [1, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10].find((each) => each * decade >= amps * 0.999) ?? 10;
  return Number((step * decade).toPrecision(3));
}

/** The fuse on or before a group, A, from its printed text: `T 2 A`, `500mA`. */
function fuseAmps(board: Board, { reach }: FedGroup): number | undefined {
  for (const part of board.parts) {
    const { kind, pins } = part;
    if (kind.name !== 'fuse' || !pins.some((pin) => reach.has(board.pins[pin]?.net ?? -1)))
      continue;
    const amps = ratedAmps(part);
    if (amps !== undefined) return amps;
  }
  return undefined;
}
