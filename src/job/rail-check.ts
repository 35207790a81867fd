/** What a rail should read at one step of a stage. */
import type { Board } from '../board/model.ts';
import type { FeedKind } from './rail-feeds.ts';

/** A rail to be read under power, and between which voltages it should lie. */
export interface RailCheck {
  readonly rail: number;
  /** Handy places on its plus and minus net. */
  readonly at: readonly [string, string];
  /** V; undefined when the board file does not tell. */
  readonly expected?: number;
  readonly least?: number;
  readonly most?: number;
  /** True where it comes up only once something switches it on, or from a voltage not known. */
  readonly mayBeOff: boolean;
  /** Alternating voltage, rms. */
  readonly isMains: boolean;
}

/** How a rail stands to the source of its stage. */
export type Standing =
  | {
      readonly is: 'fed';
      readonly share: number;
      readonly isMains: boolean;
      readonly volts?: number | undefined;
    }
  /** Follows the source through rectifiers: its own figure, or what the source's comes to. */
  | {
      readonly is: 'rectified';
      readonly share: number;
      readonly isMains: boolean;
      readonly volts?: number | undefined;
      readonly from?: number | undefined;
    }
  /** Made by something that starts at a voltage the board file does not tell. */
  | {
      readonly is: 'follows';
      readonly kind: FeedKind;
      readonly isFull: boolean;
      readonly volts?: number | undefined;
    }
  | { readonly is: 'unknown'; readonly volts?: number | undefined };

/** Share of the voltage a rail may be off by. Ours: makers' figures lie within them. */
const TOLERANCE: Readonly<Record<FeedKind, number>> = {
  converter: 0.05,
  regulator: 0.05,
  rectifier: 0.1,
  transformer: 0.1,
  switch: 0.05,
  resistor: 0.1,
};
const FED_TOLERANCE = 0.03;
/** A bench meter and a supply's own display differ by this, V. */
const FED_VOLTS = 0.1;
const MAINS_TOLERANCE = 0.1;
/** Two junctions of a bridge, or one of a diode in a DC supply, hot or cold, V. */
const BRIDGE_VOLTS = 2;
const DIODE_VOLTS = 1;
/** A rail that is not up yet may stand anywhere below this much over its full voltage. */
const OVER = 0.1;

export function checkFor(
  board: Board,
  rail: number,
  standing: Standing,
  placeOn: (net: number) => string,
): RailCheck {
  const known = board.rails[rail];
  const at = [placeOn(known?.plus ?? -1), placeOn(known?.minus ?? -1)] as const;
  const isMains = standing.is === 'fed' && standing.isMains;
  // Rails that a link joins may still be said to stand at different voltages: each goes by its own.
  const volts = known?.volts ?? standing.volts;
  return { rail, at, isMains, ...bounds({ ...standing, volts }) };
}

type Bounds = Pick<RailCheck, 'expected' | 'least' | 'most' | 'mayBeOff'>;

function bounds(standing: Standing): Bounds {
  if (standing.is === 'rectified') return rectified(standing);
  const { volts } = standing;
  if (volts === undefined) return { mayBeOff: standing.is !== 'fed' };
  switch (standing.is) {
    case 'fed': {
      const full = volts * standing.share;
      const tolerance = standing.isMains
        ? full * MAINS_TOLERANCE
        : Math.max(FED_VOLTS, full * FED_TOLERANCE);
      return around(full, tolerance);
    }
    case 'follows': {
      const mayBeOff =
        !standing.isFull || standing.kind === 'switch' || standing.kind === 'resistor';
      if (!standing.isFull) return { most: volts * (1 + OVER), mayBeOff };
      return { ...around(volts, volts * TOLERANCE[standing.kind]), mayBeOff };
    }
    case 'unknown':
      return { ...around(volts, volts * OVER), mayBeOff: true };
  }
}

function rectified({
  share,
  volts,
  from,
  isMains,
}: Extract<Standing, { is: 'rectified' }>): Bounds {
  const peak = from === undefined ? undefined : isMains ? from * Math.SQRT2 : from;
  const full = volts ?? peak;
  if (full === undefined) return { mayBeOff: false };
  const expected = full * share;
  const spread = expected * TOLERANCE.rectifier;
  const drop = isMains ? BRIDGE_VOLTS : DIODE_VOLTS;
  return {
    expected,
    least: Math.max(0, expected - spread - drop),
    most: expected + spread,
    mayBeOff: false,
  };
}

function around(volts: number, tolerance: number): Bounds {
  return { expected: volts, least: volts - tolerance, most: volts + tolerance, mayBeOff: false };
}
