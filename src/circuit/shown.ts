import type { Meter } from './meter.ts';
import type { MeterMode } from './reading.ts';
import { linearOhms, type Sight, voltsAt } from './sight.ts';

/** What a meter shows. */
export interface Shown {
  /** `over`: more than the mode can show. */
  readonly kind: 'ohms' | 'volts' | 'over';
  /** Ω or V, leads counted; Infinity when over. */
  readonly value: number;
  /** Current of the range it was shown on, A. */
  readonly amps: number;
}

/**
 * What a meter would show across two points, before noise. The first range that can show the
 * reading counts, as in a meter that changes ranges by itself.
 * @throws {RangeError} when the meter lacks the mode
 */
export function shownOn(meter: Meter, mode: MeterMode, sight: Sight): Shown {
  const drive = meter.drives[mode];
  if (drive === undefined) throw new RangeError(`${meter.name} has no ${mode} mode`);
  const leads = mode === 'four-wire' ? 0 : meter.leadOhms;
  const ohms = linearOhms(sight);
  let amps = 0;
  for (const range of drive.ranges) {
    amps = range.amps;
    const most = Math.min(drive.volts, range.ohms * amps);
    const volts = voltsAt(sight, amps, most, ohms) + leads * amps;
    if (volts > most) continue;
    if (mode === 'diode') return { kind: 'volts', value: volts, amps };
    return { kind: 'ohms', value: volts / amps, amps };
  }
  return { kind: 'over', value: Number.POSITIVE_INFINITY, amps };
}
