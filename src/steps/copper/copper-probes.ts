import type { Board } from '../../board/model.ts';
import type { CopperPair } from '../../circuit/copper/copper-map.ts';
import { padOf } from '../../circuit/copper/pads.ts';
import type { Injection, Probe } from '../../circuit/reading.ts';

/** Pads to be weighed as the next reading, at most. */
const MOST_PROBES = 40;
/** Of these, the pads of so many of the heaviest suspects. */
const OWN_PADS = 14;
/** Between the legs of a part with more pins than this no probe is put if it can be helped. */
const MOST_PINS = 8;

/**
 * Readings that could tell where along the copper a short is: across the pads of parts on both sides, some
 * of the suspects' own and others spread over the board; under an injected current, from where it is
 * clipped on to those pads.
 * @param suspects parts, heaviest first
 * @param canReach whether a probe can be put on a pin
 */
export function copperProbes(
  board: Board,
  copper: CopperPair,
  suspects: readonly number[],
  canReach: (pin: number) => boolean,
  injection?: Injection,
): Probe[] {
  const across = partsAcross(board, copper, canReach);
  const own = suspects.filter((part) => across.has(part)).slice(0, OWN_PADS);
  const chosen = spreadOut(board, across, own);
  const point = (pin: number) => ({ net: board.pins[pin]?.net ?? 0, pin });
  if (injection === undefined) {
    return chosen.map(([red, black]) => {
      return { mode: 'four-wire', red: point(red), black: point(black) };
    });
  }
  const clips = [injection.red, injection.black];
  return chosen.flatMap((pins) =>
    pins.flatMap((pin, k): Probe[] => {
      const from = clips.find(
        ({ net, pin: at }) => at !== undefined && copper.nets[k as 0 | 1].has(net),
      );
      if (from === undefined || from.pin === pin) return [];
      return [{ mode: 'millivolts', red: from, black: point(pin), injected: injection }];
    }),
  );
}

/** By part with few pins: a pin on either side. */
function partsAcross(
  board: Board,
  { pins }: CopperPair,
  canReach: (pin: number) => boolean,
): Map<number, readonly [number, number]> {
  const found = new Map<number, readonly [number, number]>();
  for (const pin of pins[0]) {
    const part = board.parts[board.pins[pin]?.part ?? -1];
    if (part === undefined || part.pins.length > MOST_PINS || found.has(part.index)) continue;
    if (!canReach(pin)) continue;
    const other = part.pins.find((one) => pins[1].has(one) && canReach(one));
    if (other !== undefined) found.set(part.index, [pin, other]);
  }
  return found;
}

/** The given parts, and others each as far as can be from all taken before. */
function spreadOut(
  board: Board,
  across: ReadonlyMap<number, readonly [number, number]>,
  first: readonly number[],
): (readonly [number, number])[] {
  const parts = [...across.keys()];
  const pins = [...across.values()];
  const at = pins.map(([pin]) => padOf(board, pin)?.at ?? ([0, 0] as const));
  /** Squares of mm; below zero once taken. */
  const far = new Float64Array(parts.length).fill(Number.POSITIVE_INFINITY);
  const chosen: number[] = [];
  const take = (k: number): void => {
    chosen.push(k);
    const [x, y] = at[k] as readonly [number, number];
    far[k] = -1;
    at.forEach(([u, v], n) => {
      far[n] = Math.min(far[n] as number, (u - x) ** 2 + (v - y) ** 2);
    });
  };
  for (const part of first) take(parts.indexOf(part));
  while (chosen.length < Math.min(MOST_PROBES, parts.length)) {
    let next = -1;
    far.forEach((square, k) => {
      if (square >= 0 && (next < 0 || square > (far[next] as number))) next = k;
    });
    take(next);
  }
  return chosen.map((k) => pins[k] as readonly [number, number]);
}
