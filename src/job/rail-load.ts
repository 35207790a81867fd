/** What a rail draws as far as the board file tells: resistors across it, and what they turn to heat. */
import type { Board } from '../board/model.ts';
import type { Circuit } from '../circuit/circuit.ts';
import { AS_FOUND } from '../circuit/state.ts';

export interface Heated {
  readonly part: number;
  readonly watts: number;
}

export interface RailLoad {
  /** A at the voltage asked for. */
  readonly amps: number;
  /** Parts that carry a tenth or more of it, most first. */
  readonly through: readonly number[];
  /** Parts that turn {@link LEAST_WATTS} or more to heat, most first. */
  readonly heated: readonly Heated[];
}

/** A part that takes less is not felt warm. */
const LEAST_WATTS = 0.05;
/** A winding across a rail would seem to draw this and more; what it draws a resistance does not tell. */
const MOST_AMPS = 10;
const LED_VOLTS = 2;

/**
 * Current of a rail with everything off that has to be switched on: no IC, no load outside.
 * Undefined where the resistances do not tell: a winding lies across the rail.
 */
export function railLoad(
  circuit: Circuit,
  plus: number,
  minus: number,
  volts: number,
): RailLoad | undefined {
  const { board, elements } = circuit;
  const view = circuit.view(AS_FOUND);
  const { network } = view;
  const ohms = network.resistance(plus, minus);
  const shown = Number.isFinite(ohms) ? volts / ohms : 0;
  if (shown > MOST_AMPS) return undefined;
  const strings = ledStrings(board, plus, minus, volts);
  const amps = shown + strings.reduce((sum, each) => sum + each.amps, 0);
  const [up, down] = [network.column(plus), network.column(minus)];
  const voltsAt = (net: number): number => ((up[net] ?? 0) - (down[net] ?? 0)) * shown;
  const wanted = elements.filter(({ netA }) => network.island[netA] === network.island[plus]);
  const parts = new Map<number, { amps: number; watts: number }>();
  for (const { part, netA, netB, ohms: own } of shown > 0 ? wanted : []) {
    const across = Math.abs(voltsAt(netA) - voltsAt(netB));
    const held = parts.get(part) ?? { amps: 0, watts: 0 };
    parts.set(part, {
      amps: Math.max(held.amps, across / own),
      watts: held.watts + across ** 2 / own,
    });
  }
  for (const string of strings) parts.set(string.part, string);
  const found = [...parts].filter(([part]) => board.parts[part]?.kind.link === false);
  return {
    amps,
    through: found
      .filter(([, each]) => each.amps >= amps / 10 && each.watts > 0)
      .sort((a, b) => b[1].watts - a[1].watts)
      .map(([part]) => part),
    heated: found
      .filter(([, { watts }]) => watts >= LEAST_WATTS)
      .map(([part, { watts }]) => ({ part, watts }))
      .sort((a, b) => b.watts - a.watts),
  };
}

/** Resistors that feed a light-emitting diode straight across the rail. */
function ledStrings(
  board: Board,
  plus: number,
  minus: number,
  volts: number,
): { part: number; amps: number; watts: number }[] {
  const netOf = (pin: number | undefined): number => board.pins[pin ?? -1]?.net ?? -1;
  return board.parts.flatMap((part) => {
    if (part.kind.name !== 'resistor' || !(part.ohms !== undefined && part.ohms > 0)) return [];
    const [a, b] = [netOf(part.pins[0]), netOf(part.pins[1])];
    const middle = a === plus ? b : b === plus ? a : undefined;
    if (middle === undefined || !lightsTo(board, middle, minus)) return [];
    const across = Math.max(0, volts - LED_VOLTS);
    const amps = across / part.ohms;
    return [{ part: part.index, amps, watts: across * amps }];
  });
}

function lightsTo(board: Board, anode: number, cathode: number): boolean {
  return (board.nets[anode]?.pins ?? []).some((pin) => {
    const part = board.parts[board.pins[pin]?.part ?? -1];
    if (part?.kind.name !== 'led' || board.pins[pin]?.name !== 'A') return false;
    return part.pins.some((other) => board.pins[other]?.net === cathode);
  });
}
