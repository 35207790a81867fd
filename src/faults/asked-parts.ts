import type { Circuit, View } from '../circuit/circuit.ts';
import { isCopperOnly, type Reading } from '../circuit/reading.ts';
import type { BoardState } from '../circuit/state.ts';
import { netPairKey } from '../circuit/state.ts';
import type { TakenReading } from './evidence.ts';
import { litPath } from './lit-path.ts';

/** Parts that readings speak of which show more than a beeper does. */
export interface AskedParts {
  readonly parts: ReadonlySet<number>;
  /** Those that may change what is read between two nets; none for readings of a beeper. */
  between(reading: Reading): readonly number[];
}

/**
 * The parts whose junctions and ohms some reading speaks of, on the board or on its own legs. All
 * their failed modes are worth a question; of other parts those that a beeper shows are enough.
 */
export function askedParts(circuit: Circuit, readings: readonly TakenReading[]): AskedParts {
  const parts = new Set<number>();
  const known = new Map<string, readonly number[]>();
  for (const reading of readings) {
    const { mode, red, black, offPart, state } = reading;
    if (mode === 'continuity' || isCopperOnly(reading)) continue;
    if (offPart !== undefined) {
      parts.add(offPart);
      continue;
    }
    const key = netPairKey(red.net, black.net);
    const found = new Set([
      ...(known.get(key) ?? partsBetween(circuit, red.net, black.net)),
      ...passedParts(circuit, state, red.net, black.net),
    ]);
    known.set(key, [...found]);
    for (const part of found) parts.add(part);
  }
  return {
    parts,
    between: ({ mode, red, black }) =>
      mode === 'continuity' ? [] : (known.get(netPairKey(red.net, black.net)) ?? []),
  };
}

/** Parts with a junction, or a failed mode no beeper tells, from one net to the other. */
function partsBetween({ board, models }: Circuit, a: number, b: number): number[] {
  if (a === b) return [];
  const pinsAt = (net: number): readonly number[] => board.nets[net]?.pins ?? [];
  const [few, other] = pinsAt(a).length <= pinsAt(b).length ? [a, b] : [b, a];
  const near = new Set(pinsAt(few).map((pin) => board.pins[pin]?.part ?? -1));
  return [...near].filter((part) => {
    const model = models[part];
    if (!board.parts[part]?.pins.some((pin) => board.pins[pin]?.net === other)) return false;
    return model !== undefined && (model.junctions.length > 0 || model.moreModes.length > 0);
  });
}

/** By view and points: what was found already; the same readings come back after every step. */
const PASSED = new WeakMap<View, Map<string, readonly number[]>>();

/** Parts whose junctions the current of a reading passes on a sound board. */
function passedParts(
  circuit: Circuit,
  state: BoardState,
  red: number,
  black: number,
): readonly number[] {
  const view = circuit.view(state);
  let known = PASSED.get(view);
  if (known === undefined) {
    known = new Map();
    PASSED.set(view, known);
  }
  const key = `${red}>${black}`;
  let parts = known.get(key);
  if (parts === undefined) {
    parts = (litPath(view, [], red, black)?.junctions ?? []).map(({ part }) => part);
    known.set(key, parts);
  }
  return parts;
}
