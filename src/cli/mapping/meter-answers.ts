import type { EarSettings } from '../../bench/meter/ear.ts';
import { openFrom } from '../../bench/meter/judge.ts';
import type { Meter } from '../../circuit/meter.ts';
import type { SweepView } from '../../report/mapping/view.ts';
import { figureText } from '../guided/meter-note.ts';
import type { Wanted } from '../listening/listener.ts';
import { beepLine } from './lines-of-keys.ts';

const WHICH = 'Meter: it beeps. On which? Press its number, or n if it was none.';

/**
 * What the meter answers of a step. A beep tells of the one point that is asked for; of several a person
 * says on which. Points that read open cannot be told from probes in the air, so that none beeped is said
 * by two taps, or by a figure where one point alone is asked for.
 */
export function wantedAt(sweep: SweepView, meter: Meter): Wanted {
  const isOne = sweep.touch.length === 1;
  let hasBeeped = false;
  return {
    settings: settingsOf(meter),
    of: [sweep.quietLine, sweep.why],
    take(value, shown = Number.NaN) {
      const told = `The meter showed ${Number.isFinite(shown) ? figureText('ohms', shown) : 'open'}.`;
      if (value.kind === 'beep') {
        hasBeeped = true;
        return isOne ? { kind: 'heard', lines: [beepLine(sweep, 0)], told } : WHICH;
      }
      if (hasBeeped) return WHICH;
      const isAll = isOne || !Number.isFinite(shown);
      return isAll ? { kind: 'heard', lines: [sweep.quietLine], told } : undefined;
    },
  };
}

function settingsOf(meter: Meter): EarSettings {
  const { beepOhms, leadOhms } = meter;
  return {
    mode: 'continuity',
    beepOhms,
    leadOhms,
    openFrom: openFrom('continuity', meter),
    holdMs: 0,
  };
}
