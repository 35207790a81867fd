import { contactMs, type Ear, type EarSettings } from '../../bench/meter/ear.ts';
import type { FeedStatus } from '../../bench/meter/feed.ts';
import { isBelowZero } from '../../bench/meter/judge.ts';
import { formatOhms } from '../../board/units.ts';
import type { MeterMode } from '../../circuit/reading.ts';

/** A contact that gives no value for so long wants a word, ms. */
const PATIENCE_MS = 3000;

/** What stands under the prompt while a meter is listened to. */
export interface MeterNote {
  readonly text: string;
  /** True when nothing will come of waiting: someone who looks at the board wants to hear of it. */
  readonly isWorry: boolean;
}

export function meterNote(ear: Ear, status: FeedStatus, settings: EarSettings): MeterNote {
  if (status.state !== 'ready') return plain(status.text);
  switch (ear.phase) {
    case 'leaving':
      return plain('Meter: lift the probes off, then touch the two points.');
    case 'open':
      return plain(
        ear.taps > 0
          ? 'Meter: tips touched; twice, and then apart, stands for open.'
          : 'Meter: open. If it is on the points too, tap the tips twice.',
      );
    case 'touching':
      return touchingNote(ear, settings);
    case 'taken':
      return plain('');
  }
}

function touchingNote(ear: Ear, settings: EarSettings): MeterNote {
  const number = ear.contact.at(-1)?.number ?? 0;
  const { mode, holdMs } = settings;
  const figure = figureText(mode, number);
  if (isBelowZero(mode, number)) {
    return worry(`${figure}, far below zero. Is a charge left? Probes off, discharge, measure it.`);
  }
  const held = contactMs(ear);
  const left = Math.ceil((holdMs - held) / 1000);
  if (left > 0) return plain(`Meter: ${figure}. Hold ${left} s more: capacitors charge.`);
  // A climbing value has its time first; after that it is a hand, or a charge that takes too long.
  if (held - holdMs > PATIENCE_MS) return worry(`${figure}, not steady. Hold still, or type it.`);
  return plain(`Meter: ${figure}, hold …`);
}

function plain(text: string): MeterNote {
  return { text, isWorry: false };
}

function worry(text: string): MeterNote {
  return { text: `Meter: ${text}`, isWorry: true };
}

/** A figure as a person reads it off a meter. */
export function figureText(mode: MeterMode, number: number): string {
  const short = Number(number.toPrecision(3));
  if (mode === 'diode') return `${short} V`;
  if (mode === 'millivolts') return `${Number((number * 1e3).toPrecision(3))} mV`;
  return number < 0 ? `-${formatOhms(-short)}` : formatOhms(short);
}
