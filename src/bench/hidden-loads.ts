import type { Board } from '../board/model.ts';
import type { PinResistance } from '../circuit/part-model.ts';
import { Random } from './random.ts';

/** A path through a part that no board file tells. */
export interface HiddenLoad extends PinResistance {
  readonly part: number;
}

/** Kinds of which nobody knows what their pins conduct. */
const UNTOLD: ReadonlySet<string> = new Set(['ic', 'unknown']);
/** How many of their pins conduct to another, and between how many Ω, evenly on a logarithmic scale. */
const LOADED_RATIO = 0.7;
const LEAST_OHMS = 1e3;
const DECADES = 4;
/** How many of these lead to the pin on the busiest net, most often ground. */
const TO_BUSIEST_RATIO = 0.5;

/**
 * What the pins of ICs and unknown parts conduct on a sound board, beside what the catalogue says: pull-ups,
 * dividers, bias. Drawn from the seed alone; figures are ours.
 */
export function hiddenLoads(board: Board, seed: number): HiddenLoad[] {
  const random = new Random(seed * 104729 + 11);
  const pads = (pin: number): number => board.nets[board.pins[pin]?.net ?? -1]?.pins.length ?? 0;
  return board.parts
    .filter(({ kind, pins }) => UNTOLD.has(kind.name) && pins.length > 1)
    .flatMap(({ index, pins }) => {
      const busiest = pins.reduce((best, pin) => (pads(pin) > pads(best) ? pin : best));
      return pins.flatMap((a): HiddenLoad[] => {
        const isLoaded = random.next() < LOADED_RATIO;
        const isToBusiest = random.next() < TO_BUSIEST_RATIO;
        const other = pins[Math.floor(random.next() * pins.length)] as number;
        const ohms = LEAST_OHMS * 10 ** (DECADES * random.next());
        const b = isToBusiest ? busiest : other;
        return isLoaded && a !== b ? [{ part: index, a, b, ohms }] : [];
      });
    });
}
