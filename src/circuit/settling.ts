import type { Board, Part } from '../board/model.ts';
import type { View } from './circuit.ts';
import { reach } from './conduction.ts';
import type { Drive, Meter } from './meter.ts';
import { type Branch, Network } from './network.ts';
import { isCopperOnly, type MeterMode, type Probe } from './reading.ts';
import type { BoardState } from './state.ts';

/**
 * Capacitors make a meter tell tales while it charges them: a beep that stops, ohms that climb. How
 * much capacitance lies across two points, and how long to hold the probes before a value counts.
 */
export interface Settling {
  /** F across the points, healthy board under the state given. */
  readonly farads: number;
  /** Capacitors that lie across the points themselves, strings not counted. */
  readonly parts: readonly number[];
  /** How long the beeper sounds while it charges them, s: C · threshold, whatever the current. */
  readonly beepSeconds: number;
  /** How long the mode takes to charge them until it shows OL, s. */
  readonly overSeconds: number;
  /** How long to hold the probes before a value counts, s; a beep counts when it lasts so long. */
  readonly holdSeconds: number;
  /** Worth a second reading with the probes swapped, after a discharge. */
  readonly swap: boolean;
}

/** A beep or a value must outlast the charging by this much, s. */
const STEADY_SECONDS = 1;
/** From here on one reading is not enough, F. */
const LARGE_FARADS = 1e-3;
const LARGE_HOLD_SECONDS = 3;
/** Nobody holds probes longer; what has not settled by then is read as it stands, s. */
const MOST_HOLD_SECONDS = 60;
/** A joint, a jumper or a fuse: the nets at its ends charge as one, Ω. */
const JOINT_OHMS = 1;
/** Capacitance of such a joint in the network of capacitors: larger than any part's, F. */
const JOINT_FARADS = 1e4;

/**
 * Undefined where nothing charges: no capacitor of known value across the points, or a path of less
 * than the beeper's threshold between them, or an injected current that holds their voltage.
 */
export function settlingOf(
  board: Board,
  view: View,
  state: BoardState,
  meter: Meter,
  probe: Probe,
): Settling | undefined {
  if (isCopperOnly(probe)) return undefined;
  const found =
    probe.offPart === undefined
      ? acrossPads(board, view, state, meter, probe)
      : acrossLegs(board, probe);
  if (!(found.farads > 0)) return undefined;
  return { ...found, ...timesOf(meter, probe.mode, found.farads) };
}

/** The times for a capacitance; none of them falls as it grows. */
export function timesOf(
  meter: Meter,
  mode: MeterMode,
  farads: number,
): Pick<Settling, 'beepSeconds' | 'overSeconds' | 'holdSeconds' | 'swap'> {
  const beepSeconds = farads * meter.beepOhms;
  const drive = meter.drives[mode] ?? meter.drives.ohms;
  const overSeconds = drive === undefined ? beepSeconds : chargeSeconds(drive, farads);
  const charging = mode === 'continuity' ? beepSeconds : overSeconds;
  const swap = farads > LARGE_FARADS;
  const hold = Math.max(STEADY_SECONDS + charging, swap ? LARGE_HOLD_SECONDS : 0);
  return { beepSeconds, overSeconds, holdSeconds: Math.min(hold, MOST_HOLD_SECONDS), swap };
}

/** C·ΔV/I, range after range: each charges from where the one before shows full scale to its own. */
function chargeSeconds({ ranges, volts }: Drive, farads: number): number {
  let reached = 0;
  let seconds = 0;
  for (const { ohms, amps } of ranges) {
    const full = Math.min(volts, ohms * amps);
    if (full <= reached * (1 + 1e-9)) continue;
    seconds += (farads * (full - reached)) / amps;
    reached = full;
  }
  return seconds;
}

interface Across {
  readonly farads: number;
  readonly parts: readonly number[];
}

const NOTHING: Across = { farads: 0, parts: [] };

/** A part on its own legs: a capacitor is all there is. */
function acrossLegs(board: Board, { offPart = -1, red, black }: Probe): Across {
  const part = board.parts[offPart];
  if (part === undefined || !isCapacitor(part) || red.pin === black.pin) return NOTHING;
  return { farads: part.farads, parts: [part.index] };
}

/**
 * Capacitors in circuit make a network of their own: two points of it see the capacitance that a
 * network of resistors 1/C sees as ohms. Nets within the beeper's reach of a point charge with it.
 */
function acrossPads(
  board: Board,
  view: View,
  state: BoardState,
  meter: Meter,
  { red, black }: Probe,
): Across {
  const nearRed = reach(view, [], red.net, meter.beepOhms);
  if (nearRed.has(black.net)) return NOTHING;
  const nearBlack = reach(view, [], black.net, meter.beepOhms);
  const capacitors = capacitorsIn(board, state);
  const touches = capacitors.some(({ a, b }) => nearRed.has(a) || nearRed.has(b));
  if (!touches) return NOTHING;
  const sideOf = (net: number): number => {
    // A net midway belongs to the nearer point, so that the two sides never run together.
    const toRed = nearRed.get(net);
    const toBlack = nearBlack.get(net);
    if (toRed === undefined) return toBlack === undefined ? net : black.net;
    return toBlack === undefined || toRed <= toBlack ? red.net : black.net;
  };
  const branches: Branch[] = capacitors.map(({ a, b, farads }) => ({
    a: sideOf(a),
    b: sideOf(b),
    ohms: 1 / farads,
  }));
  for (const { a, b, ohms } of view.network.branches) {
    if (ohms > JOINT_OHMS) continue;
    const from = sideOf(a);
    const to = sideOf(b);
    const isFree = from !== red.net && from !== black.net && to !== red.net && to !== black.net;
    if (isFree) branches.push({ a: from, b: to, ohms: 1 / JOINT_FARADS });
  }
  const closed = branches.filter(({ a, b }) => a !== b);
  const elastance = new Network(board.nets.length, closed).resistance(red.net, black.net);
  const parts = capacitors.filter(({ a, b }) => {
    const sides = [sideOf(a), sideOf(b)];
    return sides.includes(red.net) && sides.includes(black.net);
  });
  return { farads: 1 / elastance, parts: parts.map(({ part }) => part) };
}

interface Capacitor {
  readonly part: number;
  readonly a: number;
  readonly b: number;
  readonly farads: number;
}

/** Capacitors of known value that are in circuit, by the nets of their legs. */
function capacitorsIn(board: Board, state: BoardState): Capacitor[] {
  return board.parts.flatMap((part) => {
    if (!isCapacitor(part)) return [];
    const first = board.pins[part.pins[0] ?? -1];
    const second = board.pins[part.pins[1] ?? -1];
    if (first === undefined || second === undefined) return [];
    const isUp = part.pins.some((pin) => state.lifted.has(pin));
    if (isUp || state.off.has(part.index) || first.net === second.net) return [];
    return [{ part: part.index, a: first.net, b: second.net, farads: part.farads }];
  });
}

function isCapacitor(part: Part): part is Part & { readonly farads: number } {
  return part.kind.value === 'farads' && part.farads !== undefined;
}
