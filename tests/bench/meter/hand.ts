import type { Ear, EarSettings } from '../../../src/bench/meter/ear.ts';
import type { MeterFeed } from '../../../src/bench/meter/feed.ts';
import { listenFor } from '../../../src/bench/meter/listen.ts';
import { type Instrument, type Points, pause } from './instrument.ts';

/** A person with two probes, who does what a person does until the reading was heard. */
export type Deed =
  /** Holds the probes on points until the value was taken. */
  | { readonly kind: 'hold'; readonly points: Points }
  /** Points that read open: the tips are tapped on each other twice, again if that went unheard. */
  | { readonly kind: 'open' }
  /** Brushes other points on the way. */
  | { readonly kind: 'brush'; readonly points: Points }
  /** Cannot hold still. */
  | { readonly kind: 'shake'; readonly points: Points };

const TIPS: Points = { ohms: 0.2, volts: 0.001 };

/** Waits until the instrument answered so many readings more, or the condition holds. */
export async function readings(
  instrument: Instrument,
  count: number,
  isEnough: () => boolean = () => false,
): Promise<void> {
  const from = instrument.readings;
  while (instrument.readings < from + count && !isEnough()) await pause(1);
}

/**
 * Takes one reading after the other by the deeds that come before it.
 * @returns the ears as they ended, one for each deed that gives a value
 */
export async function takeReadings(
  feed: MeterFeed,
  instrument: Instrument,
  settings: EarSettings,
  deeds: readonly Deed[],
): Promise<Ear[]> {
  const taken: Ear[] = [];
  let ear: Ear | undefined;
  let stop: () => void = () => undefined;
  const listen = (): void => {
    ear = undefined;
    stop = listenFor(feed, {
      settings,
      tell: (now) => {
        ear = now;
        if (now.phase === 'taken') taken.push(now);
      },
    });
  };
  listen();
  for (const deed of deeds) {
    instrument.probe(undefined);
    while (ear?.phase !== 'open') await pause(1);
    const from = taken.length;
    const isTaken = (): boolean => taken.length > from;
    if (deed.kind === 'brush' || deed.kind === 'shake') {
      await passBy(instrument, deed, isTaken);
      continue;
    }
    if (deed.kind === 'hold') {
      instrument.probe(deed.points);
      while (!isTaken()) await pause(1);
    } else {
      await tapUntil(instrument, settings, isTaken);
    }
    stop();
    // The probes stay where they are for a moment: the next ear must not take the value again.
    listen();
    await readings(instrument, 4);
  }
  stop();
  return taken;
}

async function passBy(
  instrument: Instrument,
  { kind, points }: Extract<Deed, { kind: 'brush' | 'shake' }>,
  isTaken: () => boolean,
): Promise<void> {
  instrument.probe(points);
  if (kind === 'brush') return await readings(instrument, 1, isTaken);
  for (let turn = 0; turn < 8; turn += 1) {
    instrument.probe({ ...points, ohms: points.ohms * (turn % 2 === 0 ? 1 : 1.5) });
    await readings(instrument, 1, isTaken);
  }
}

async function tapUntil(
  instrument: Instrument,
  { pace = 1 }: EarSettings,
  isTaken: () => boolean,
): Promise<void> {
  while (!isTaken()) {
    for (let tap = 0; tap < 2; tap += 1) {
      instrument.probe(TIPS);
      await readings(instrument, 1, isTaken);
      instrument.probe(undefined);
      await readings(instrument, 1, isTaken);
    }
    const until = performance.now() + 3000 * pace;
    while (!isTaken() && performance.now() < until) await pause(1);
  }
}
