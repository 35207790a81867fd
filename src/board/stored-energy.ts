import type { Board, Part } from './model.ts';

/** Capacitors in parallel across one pair of nets, and how to empty them before any reading. */
export interface StoredEnergy {
  /** Name of the rail these nets are, when they are one. */
  readonly rail?: string;
  /** Nets, positive side first where that is known. */
  readonly nets: readonly [number, number];
  readonly parts: readonly number[];
  readonly farads: number;
  /** Voltage reckoned with, V. */
  readonly volts: number;
  /** `rail`: the rail's working voltage. `rated`: no rail says, so the highest rating among them. */
  readonly voltsFrom: 'rail' | 'rated';
  /** ½·C·V². */
  readonly joules: number;
  /** Suggested bleeder, Ω, and the power it takes in the first instant, W. */
  readonly bleedOhms: number;
  readonly bleedWatts: number;
  /** R·C·ln(V / 1 V): from full to one volt; 0 when it holds no more than that. */
  readonly bleedSeconds: number;
}

const BLEEDERS_OHMS = [1000, 2200, 4700, 10_000] as const;
/** A wirewound resistor of 10–25 W takes this for the seconds a discharge lasts. */
const SANE_PEAK_WATTS = 80;
/** Volts at which a capacitor counts as empty; measure, then measure again. */
const EMPTY_VOLTS = 1;

/**
 * Every group of parallel capacitors with a known capacitance and voltage, most energy first.
 * Capacitors in series strings count one by one, each across its own nets.
 */
export function storedEnergy(board: Board): readonly StoredEnergy[] {
  let found = FOUND.get(board);
  if (found === undefined) {
    found = energiesOn(board);
    FOUND.set(board, found);
  }
  return found;
}

/** Worked out once for a board: cautions, gates and bleed times all ask. */
const FOUND = new WeakMap<Board, readonly StoredEnergy[]>();

function energiesOn(board: Board): readonly StoredEnergy[] {
  const groups = new Map<number, { nets: [number, number]; parts: Part[] }>();
  for (const part of board.parts) {
    const nets = part.kind.value === 'farads' && part.farads ? netsAcross(board, part) : undefined;
    if (nets === undefined) continue;
    const key = Math.min(nets[0], nets[1]) * board.nets.length + Math.max(nets[0], nets[1]);
    const group = groups.get(key);
    if (group) group.parts.push(part);
    else groups.set(key, { nets, parts: [part] });
  }
  return [...groups.values()]
    .flatMap(({ nets, parts }) => energyOf(board, nets, parts))
    .sort((a, b) => b.joules - a.joules);
}

/** The two nets of a capacitor, the `plus` pin first; undefined when both legs share a net. */
function netsAcross(board: Board, part: Part): [number, number] | undefined {
  const first = board.pins[part.pins[0] ?? -1];
  const second = board.pins[part.pins[1] ?? -1];
  if (first === undefined || second === undefined || first.net === second.net) return undefined;
  return first.name === 'minus' ? [second.net, first.net] : [first.net, second.net];
}

function energyOf(board: Board, nets: [number, number], parts: readonly Part[]): StoredEnergy[] {
  const rail = board.rails.find(
    ({ plus, minus }) => nets.includes(plus) && nets.includes(minus) && plus !== minus,
  );
  const rated = Math.max(0, ...parts.map((part) => part.volts ?? 0));
  const volts = rail?.volts ?? rated;
  if (!(volts > 0)) return [];
  const farads = parts.reduce((sum, part) => sum + (part.farads ?? 0), 0);
  const bleedOhms = bleeder(volts);
  return [
    {
      ...(rail ? { rail: rail.name } : {}),
      nets: rail ? [rail.plus, rail.minus] : orientation(board, nets, parts),
      parts: parts.map((part) => part.index),
      farads,
      volts,
      voltsFrom: rail?.volts === undefined ? 'rated' : 'rail',
      joules: 0.5 * farads * volts * volts,
      bleedOhms,
      bleedWatts: (volts * volts) / bleedOhms,
      bleedSeconds: Math.max(0, bleedOhms * farads * Math.log(volts / EMPTY_VOLTS)),
    },
  ];
}

/** A polarised capacitor knows which side is positive; the first one that does decides. */
function orientation(
  board: Board,
  nets: [number, number],
  parts: readonly Part[],
): [number, number] {
  const polarised = parts.find((part) => !part.kind.symmetric);
  return (polarised && netsAcross(board, polarised)) ?? nets;
}

/** The smallest bleeder whose first instant stays within reason; the largest when none does. */
function bleeder(volts: number): number {
  return BLEEDERS_OHMS.find((ohms) => (volts * volts) / ohms <= SANE_PEAK_WATTS) ?? 10_000;
}
