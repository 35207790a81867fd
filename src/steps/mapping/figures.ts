import type { PointRole } from './problem.ts';

/** On which sort of net a point is, as shares that sum to 1. */
export interface NetShares {
  readonly ground: number;
  /** A net of many points that is not ground. */
  readonly rail: number;
  readonly signal: number;
  /** Joined to nothing. */
  readonly alone: number;
}

/** What the planner expects of boards and of hands. */
export interface MapFigures {
  readonly shares: Readonly<Record<PointRole, NetShares>>;
  /** The same for an end of a capacitor, or of a clamp, whose other end is on ground or is not. */
  readonly besideGround: NetShares;
  readonly besideOther: NetShares;
  /** The pull between two points of a signal falls as (1 + distance / pitch)^-reach … */
  readonly signalReach: number;
  /** … but not below this between pins of chips and connectors, which wires join far off. */
  readonly farSignal: number;
  readonly farEnd: number;
  readonly railReach: number;
  /** Pins of the same two parts that lie beside pins already joined: buses run in order. */
  readonly beside: number;
  /** Pull between pins of the same name on parts of the same make, as of one signal. */
  readonly twin: number;
  /** Pull between two pins of one part that may be joined. */
  readonly ownPart: number;
  /** Without places: pitches for each step of designator, and between different letters. */
  readonly numberStep: number;
  readonly lettersStep: number;
  /** From so many points on a net counts as a rail. */
  readonly railPoints: number;
  /** Chance that a signal of so many points (1, 2, 3 …) has more. */
  readonly open: readonly number[];
  /** Chance that one touch reads wrong. */
  readonly slipRatio: number;
  /** Chance that a row of points touched at once misses the one that is joined. */
  readonly rowSlipRatio: number;
  /** Most points of a row; below two, none are asked for. */
  readonly rowPoints: number;
  /** Two nets are taken as joined from this chance on. */
  readonly sure: number;
  /** Points are asked for as long as one join is found in so many touches. */
  readonly mostTouches: number;
  /** s: put the held probe elsewhere; one touch with the other; press a key. */
  readonly holdSeconds: number;
  readonly touchSeconds: number;
  readonly keySeconds: number;
  /** Most points touched for one answer. */
  readonly sweepPoints: number;
}

/** Shares are of the pins of nine open-hardware boards; the rest are defaults of ours, tried on them. */
export const MAP_FIGURES: MapFigures = {
  shares: {
    ground: { ground: 0.95, rail: 0.02, signal: 0.03, alone: 0 },
    supply: { ground: 0.01, rail: 0.8, signal: 0.18, alone: 0.01 },
    control: { ground: 0.01, rail: 0.01, signal: 0.97, alone: 0.01 },
    bypass: { ground: 0.43, rail: 0.32, signal: 0.249, alone: 0.001 },
    line: { ground: 0.05, rail: 0.7, signal: 0.249, alone: 0.001 },
    end: { ground: 0.16, rail: 0.17, signal: 0.669, alone: 0.001 },
    leg: { ground: 0.22, rail: 0.17, signal: 0.51, alone: 0.1 },
    plug: { ground: 0.23, rail: 0.11, signal: 0.57, alone: 0.09 },
  },
  besideGround: { ground: 0.004, rail: 0.56, signal: 0.435, alone: 0.001 },
  besideOther: { ground: 0.75, rail: 0.1, signal: 0.149, alone: 0.001 },
  signalReach: 2.5,
  farSignal: 0.003,
  farEnd: 0.0005,
  railReach: 1.2,
  beside: 20,
  twin: 5,
  ownPart: 0.5,
  numberStep: 0.5,
  lettersStep: 2,
  railPoints: 12,
  open: [1, 0.45, 0.55, 0.55, 0.6],
  slipRatio: 0.005,
  rowSlipRatio: 0.03,
  rowPoints: 12,
  sure: 0.97,
  mostTouches: 200,
  holdSeconds: 5,
  touchSeconds: 2,
  keySeconds: 1,
  sweepPoints: 9,
};
