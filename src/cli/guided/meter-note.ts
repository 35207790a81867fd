import { contactMs, type Ear, type EarSettings } from '../../bench/meter/ear.ts';
import type { FeedStatus } from '../../bench/meter/feed.ts';
import { isBelowZero } from '../../bench/meter/judge.ts';
import { formatOhms } from '../../board/units.ts';
import type { MeterMode } from '../../circuit/reading.ts';

/** A contact that gives no value for so long wants a word, ms. */
const PATIENCE_MS = 3000;

/** What stands under the prompt while a meter is listened to. */
export function meterNote(ear: Ear, status: FeedStatus, settings: EarSettings): string {
  if (status.state !== 'ready') return status.text;
  switch (ear.phase) {
    case 'leaving':
      return 'Meter: lift the probes off, then touch the two points.';
    case 'open':
      return ear.taps > 0
        ? 'Meter: tips touched; twice, and then apart, stands for open.'
        : 'Meter: open. Touch the points. Do they read open? Tap the tips on each other twice.';
    case 'touching':
      return touchingNote(ear, settings);
    case 'taken':
      return '';
  }
}

function touchingNote(ear: Ear, settings: EarSettings): string {
  const number = ear.contact.at(-1)?.number ?? 0;
  const { mode, holdMs } = settings;
  const figure = figureText(mode, number);
  if (isBelowZero(mode, number)) {
    return `Meter: ${figure}, far below zero. Is a charge left? Probes off, discharge, measure it.`;
  }
  const held = contactMs(ear);
  const left = Math.ceil((holdMs - held) / 1000);
  if (left > 0) return `Meter: ${figure}. Hold ${left} s more: capacitors charge.`;
  if (held > PATIENCE_MS) return `Meter: ${figure}, not steady. Hold still, or type the value.`;
  return `Meter: ${figure}, hold …`;
}

/** A figure as a person reads it off a meter. */
export function figureText(mode: MeterMode, number: number): string {
  const short = Number(number.toPrecision(3));
  if (mode === 'diode') return `${short} V`;
  if (mode === 'millivolts') return `${Number((number * 1e3).toPrecision(3))} mV`;
  return number < 0 ? `-${formatOhms(-short)}` : formatOhms(short);
}
