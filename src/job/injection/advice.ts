/** How a current is sent into this board to find a short: settings, places, what to expect. */
import { type StoredEnergy, storedEnergy } from '../../board/stored-energy.ts';
import type { Circuit } from '../../circuit/circuit.ts';
import { reach } from '../../circuit/conduction.ts';
import { DEFAULT_INJECTION_LIMITS, type InjectionLimits } from '../../circuit/injection-limits.ts';
import type { Injection } from '../../circuit/reading.ts';
import { linearOhms } from '../../circuit/sight.ts';
import { AS_FOUND } from '../../circuit/state.ts';
import { type AmpsSetting, ampsSetting } from './amps.ts';
import { clipPlace } from './clip-place.ts';
import { NEAR_OHMS, type VoltsSetting, voltsSetting } from './volts.ts';

/** Advice for a current from one net of a board to another. */
export interface InjectionAdvice {
  /** Net that the plus of the supply goes to, and net that its minus goes to. */
  readonly red: number;
  readonly black: number;
  readonly supply: VoltsSetting;
  readonly current: AmpsSetting;
  /** Where the clips go, by name, away from the parts to be avoided. */
  readonly clips: readonly [string, string];
  /** Capacitors between the two that may hold a charge, the largest energy first. */
  readonly stored: readonly StoredEnergy[];
  /** Ω between the two on a board without faults, resistances alone; Infinity when nothing joins them. */
  readonly healthyOhms: number;
  /** Ω of a short above which the supply comes to its voltage before its current, at the first setting. */
  readonly mostOhms: number;
  /** V that the first setting makes along one square of copper, of 1 oz where the weight is not known. */
  readonly squareVolts: number;
}

/** Ω of a square of 1 oz copper: 1.72 µΩ·cm over 0.035 mm. */
const SQUARE_OHMS = 0.0005;

/**
 * Works out the settings for a current between two nets.
 * @param red net that is to be the higher one: the plus of a rail, also where that is ground
 * @param avoid parts that the clips should keep away from: the suspects
 * @param limits what the shop sets its supply to at most
 */
export function injectionAdvice(
  circuit: Circuit,
  red: number,
  black: number,
  avoid: ReadonlySet<number> = new Set(),
  limits: InjectionLimits = DEFAULT_INJECTION_LIMITS,
): InjectionAdvice {
  const { board } = circuit;
  const view = circuit.view(AS_FOUND);
  const supply = voltsSetting(circuit, red, black, limits.volts);
  const current = ampsSetting(circuit, red, black, limits.amps);
  const [plus, minus] = [red, black].map((net) => reach(view, [], net, NEAR_OHMS));
  const isBetween = ({ nets: [a, b] }: StoredEnergy): boolean =>
    (plus?.has(a) === true && minus?.has(b) === true) ||
    (plus?.has(b) === true && minus?.has(a) === true);
  const ounces = board.copper?.nets.get(red)?.ounces ?? board.copper?.ounces ?? 1;
  return {
    red,
    black,
    supply,
    current,
    clips: [clipPlace(board, red, avoid), clipPlace(board, black, avoid)],
    stored: storedEnergy(board).filter(isBetween),
    healthyOhms: red === black ? 0 : linearOhms({ view, added: [], red, black }),
    mostOhms: supply.volts / current.firstAmps,
    squareVolts: (current.firstAmps * SQUARE_OHMS) / ounces,
  };
}

/** What is amiss with a current that somebody sends. */
export type InjectionDoubt = 'more than the limit' | 'turned round';

/** How an injection differs from what is advised; a current within one net has no polarity. */
export function injectionDoubts(
  circuit: Circuit,
  { red, black, amps }: Injection,
  advice: InjectionAdvice,
): InjectionDoubt[] {
  const { rails } = circuit.board;
  const isRail = (plus: number, minus: number): boolean =>
    rails.some((rail) => rail.plus === plus && rail.minus === minus);
  const isTurned = isRail(black.net, red.net) && !isRail(red.net, black.net);
  return [
    ...(amps > advice.current.amps * 1.001 ? (['more than the limit'] as const) : []),
    ...(isTurned ? (['turned round'] as const) : []),
  ];
}
