import type { Board, NetCopper, Part } from '../../board/model.ts';
import type { Circuit } from '../../circuit/circuit.ts';
import { reach } from '../../circuit/conduction.ts';
import { DEFAULT_INJECTION_LIMITS } from '../../circuit/injection-limits.ts';
import { AS_FOUND } from '../../circuit/state.ts';
import { ratedAmps } from '../rated-amps.ts';
import { NEAR_OHMS } from './volts.ts';

/** What carries no more than so much, A. */
export type AmpsLimit =
  | {
      readonly by: 'copper';
      readonly net: number;
      /** mm. */
      readonly width: number;
      /** oz/ft². */
      readonly ounces: number;
      /** The board file does not say the weight. */
      readonly isOuncesAssumed: boolean;
      readonly amps: number;
    }
  /** A part in the way: by the current it is marked with, or by what a resistor may turn into heat. */
  | { readonly by: 'mark'; readonly part: number; readonly amps: number }
  | { readonly by: 'heat'; readonly part: number; readonly watts: number; readonly amps: number };

export interface AmpsSetting {
  /** Most that the limit is set to, A. */
  readonly amps: number;
  /** What to begin with, A. */
  readonly firstAmps: number;
  /** What holds it below the general limit, the lowest first. */
  readonly limits: readonly AmpsLimit[];
  /** Parts in the way whose current nobody wrote into the board file. */
  readonly unknown: readonly number[];
  /** Nets the current may run through whose traces have no width in the board file. */
  readonly unknownNets: readonly number[];
}

/** Enough for millivolts, and little enough to be looked at calmly. */
const FIRST_AMPS = 0.5;
/** Of what a part is marked with, so much is used: marks hold for cool air and new parts. */
const MARK_SHARE = 0.75;
/** W that a resistor of unknown size may turn into heat: what the smaller chips are rated for. */
const LEAST_WATTS = 0.1;
/** Of the watts a resistor is rated for, so much is used. */
const WATTS_SHARE = 0.5;
const WATTS_TEXT = /(\d+(?:[.,]\d+)?)\s*W\b/;
const USUAL_OUNCES = 1;
/** Kinds in the way that melt, burn out or saturate by their current. */
const CARRIERS: ReadonlySet<string> = new Set(['fuse', 'bead', 'inductor', 'thermistor', 'switch']);

/**
 * How much current may be sent between two nets, as far as the board file tells: the copper and the
 * parts of next to no resistance that the current may have to pass.
 * @param mostAmps A that the limit is set to at most, whatever they would bear
 */
export function ampsSetting(
  circuit: Circuit,
  red: number,
  black: number,
  mostAmps: number = DEFAULT_INJECTION_LIMITS.amps,
): AmpsSetting {
  const { board } = circuit;
  const view = circuit.view(AS_FOUND);
  const near = [red, black].map((net) => new Set(reach(view, [], net, NEAR_OHMS).keys()));
  const nets = [...new Set(near.flatMap((each) => [...each]))].sort((a, b) => a - b);
  const parts = board.parts.filter(({ pins }) =>
    near.some((each) => pins.filter((pin) => each.has(board.pins[pin]?.net ?? -1)).length > 1),
  );
  const carriers = parts.filter((part) => isInTheWay(board, part));
  const known = [
    ...nets.flatMap((net) => copperLimit(board, net)),
    ...carriers.flatMap((part) => partLimit(part)),
  ].sort((a, b) => a.amps - b.amps);
  const limits = known.filter(({ amps }) => amps < mostAmps);
  const amps = settable(Math.min(mostAmps, limits[0]?.amps ?? mostAmps));
  const told = new Set(known.flatMap((limit) => (limit.by === 'copper' ? [] : limit.part)));
  return {
    amps,
    firstAmps: Math.min(FIRST_AMPS, amps),
    limits,
    unknown: carriers
      .filter(({ index, kind }) => CARRIERS.has(kind.name) && !told.has(index))
      .map(({ index }) => index),
    unknownNets: [red, black].filter((net) => !isCopperKnown(board.copper?.nets.get(net))),
  };
}

/**
 * A that a trace carries for so much rise of its temperature.
 * @param width mm
 * @param ounces copper weight, oz/ft²
 * @param kelvin default 10
 * @remarks IPC-2221, inner layer: I = 0.024 · ΔT^0.44 · A^0.725, A in square mils. An outer trace carries
 *   twice as much, and no board file says which it is.
 */
export function traceAmps(width: number, ounces: number, kelvin = 10): number {
  const squareMils = (width / 0.0254) * (ounces * 1.378);
  return 0.024 * kelvin ** 0.44 * squareMils ** 0.725;
}

function copperLimit(board: Board, net: number): AmpsLimit[] {
  const copper = board.copper?.nets.get(net);
  const { width } = copper ?? {};
  if (width === undefined) return [];
  const ounces = copper?.ounces ?? board.copper?.ounces;
  const weight = ounces ?? USUAL_OUNCES;
  const isOuncesAssumed = ounces === undefined;
  return [
    { by: 'copper', net, width, ounces: weight, isOuncesAssumed, amps: traceAmps(width, weight) },
  ];
}

function isCopperKnown(copper: NetCopper | undefined): boolean {
  return copper?.shape === 'plane' || copper?.width !== undefined;
}

/** Two ends on different nets that stand together: what joins them carries the current. */
function isInTheWay(board: Board, { kind, pins, ohms }: Part): boolean {
  const nets = new Set(pins.map((pin) => board.pins[pin]?.net));
  if (nets.size < 2) return false;
  return CARRIERS.has(kind.name) || (kind.name === 'resistor' && (ohms ?? NEAR_OHMS) < NEAR_OHMS);
}

function partLimit(part: Part): AmpsLimit[] {
  const { index, kind, ohms } = part;
  const marked = ratedAmps(part);
  if (marked !== undefined) return [{ by: 'mark', part: index, amps: marked * MARK_SHARE }];
  if (kind.name !== 'resistor' || ohms === undefined || !(ohms > 0)) return [];
  const watts = wattsOf(part);
  return [{ by: 'heat', part: index, watts, amps: Math.sqrt(watts / ohms) }];
}

function wattsOf({ package: body = '', text = '' }: Part): number {
  const [, rated] = WATTS_TEXT.exec(`${body} ${text}`) ?? [];
  if (rated !== undefined) return WATTS_SHARE * Number(rated.replace(',', '.'));
  return body.includes('2512') ? WATTS_SHARE : LEAST_WATTS;
}

/** Rounded down to what a knob is set to, two digits at most. */
function settable(amps: number): number {
  const decade = 10 ** Math.floor(Math.log10(amps));
  return Number((Math.floor((amps / decade) * 10 + 1e-9) * (decade / 10)).toPrecision(2));
}
