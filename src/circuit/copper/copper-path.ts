import { eliminate } from '../dense.ts';
import type { CopperSide, Feed } from './side.ts';

/** A short from one side to the other. */
export interface Crossing {
  /** Pin on the first side, and on the second. */
  readonly pins: readonly [number, number];
  readonly ohms: number;
}

/** Where a current goes: through both sides, and through each crossing from the first side to the second. */
export interface Flow {
  readonly feeds: readonly [Feed, Feed];
  readonly crossings: readonly number[];
}

/** Two points: pins, each on either side. */
export interface Pair {
  readonly red: number;
  readonly black: number;
}

/**
 * Where 1 A goes that enters at one pin and leaves at another, through any number of crossings.
 * @returns undefined where nothing joins the points
 * @remarks Unknown are the current of each crossing and the voltage between the sides' zero nodes:
 * each crossing obeys Ohm, and the crossings together carry what enters one side and leaves the other.
 */
export function flowOf(
  sides: readonly [CopperSide, CopperSide],
  crossings: readonly Crossing[],
  { red, black }: Pair,
): Flow | undefined {
  const ends: [Feed, Feed] = [endsOn(sides[0], red, black), endsOn(sides[1], red, black)];
  const across = ends[0].reduce((sum, [, amps]) => sum + amps, 0);
  const one = crossings[0];
  if (across === 0) {
    const k = ends[0].length > 0 ? 0 : 1;
    if (!sides[k].joins(red, black)) return undefined;
    if (crossings.length < 2) return { feeds: ends, crossings: crossings.map(() => 0) };
  } else if (one === undefined) return undefined;
  const used = crossings.filter(({ pins }) => reaches(sides, ends, pins));
  if (across !== 0 && used.length === 0) return undefined;
  const amps = used.length === 1 ? [across] : shared(sides, used, ends, across);
  const all = crossings.map((crossing) => amps[used.indexOf(crossing)] ?? 0);
  const through = (k: 0 | 1, sign: number): Feed =>
    crossings.map(({ pins }, n) => [pins[k], sign * (all[n] as number)] as const);
  return {
    feeds: [
      [...ends[0], ...through(0, -1)],
      [...ends[1], ...through(1, 1)],
    ],
    crossings: all,
  };
}

function endsOn(side: CopperSide, red: number, black: number): Feed {
  const feed: [number, number][] = [];
  if (side.has(red)) feed.push([red, 1]);
  if (side.has(black)) feed.push([black, -1]);
  return feed;
}

/** A crossing carries current only where its pins hang together with the points. */
function reaches(
  sides: readonly [CopperSide, CopperSide],
  ends: readonly [Feed, Feed],
  pins: readonly [number, number],
): boolean {
  return ([0, 1] as const).every((k) => ends[k].every(([pin]) => sides[k].joins(pin, pins[k])));
}

function shared(
  sides: readonly [CopperSide, CopperSide],
  crossings: readonly Crossing[],
  ends: readonly [Feed, Feed],
  across: number,
): number[] {
  const k = crossings.length;
  const size = k + 1;
  const width = size + 1;
  const m = new Float64Array(size * width);
  crossings.forEach(({ pins: [p, g], ohms }, r) => {
    crossings.forEach(({ pins: [u, v] }, c) => {
      m[r * width + c] = sides[0].volts(u, p) + sides[1].volts(v, g);
    });
    m[r * width + r]! += ohms;
    m[r * width + k] = 1;
    m[k * width + r] = 1;
    let driven = 0;
    for (const [pin, amps] of ends[0]) driven += amps * sides[0].volts(pin, p);
    for (const [pin, amps] of ends[1]) driven -= amps * sides[1].volts(pin, g);
    m[r * width + size] = driven;
  });
  m[k * width + size] = across;
  eliminate(m, size, width);
  return crossings.map((_, r) => m[r * width + size] as number);
}

/** V from red to black of some pair while 1 A of a flow goes; both pins on sides that the flow reaches. */
export function voltsIn(
  sides: readonly [CopperSide, CopperSide],
  crossings: readonly Crossing[],
  { feeds, crossings: amps }: Flow,
  { red, black }: Pair,
): number {
  const sideOf = (pin: number): 0 | 1 => (sides[0].has(pin) ? 0 : 1);
  const [from, to] = [sideOf(red), sideOf(black)];
  if (from === to) return sides[from].between(feeds[from], red, black);
  const carrying = Math.max(
    0,
    amps.findIndex((own) => own !== 0),
  );
  const { pins, ohms } = crossings[carrying] as Crossing;
  const within =
    sides[from].between(feeds[from], red, pins[from]) +
    sides[to].between(feeds[to], pins[to], black);
  const across = ohms * (amps[carrying] as number);
  return from === 0 ? within + across : within - across;
}
