import type { MeterFeed } from './feed.ts';
import type { ScpiPlace } from './scpi-link.ts';
import type { ScpiTimes } from './scpi-meter.ts';

/**
 * Listens to a bench meter over SCPI on a raw socket. It connects, and connects again whenever the link is
 * lost, until it is closed. The code that uses the network is read only here.
 * @param times patience in ms, where the usual does not suit
 */
export function openScpi(place: ScpiPlace, times: Partial<ScpiTimes> = {}): Promise<MeterFeed> {
  return import('./scpi-meter.ts').then(({ ScpiMeter }) => new ScpiMeter(place, times));
}
