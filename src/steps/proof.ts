import type { Board, Part } from '../board/model.ts';
import { isAcrossBoard, type MeterMode, type Probe, type Reading } from '../circuit/reading.ts';
import type { Evidence } from '../faults/evidence.ts';

/** One thing that must hold before a board may be called clear. */
export interface ProofItem {
  readonly what: 'refit' | 'rail' | 'part';
  /** What a person reads: `rail bus`, `Q3`. */
  readonly name: string;
  /** Part or rail number. */
  readonly index: number;
  /** Readings still to be taken, after the last change; empty when the item holds. */
  readonly missing: readonly Probe[];
  readonly holds: boolean;
  /** A rail that some reading of the job found joined. */
  readonly wasUpset?: boolean;
}

/** Whether an item tells if a repair helped: a new part, or a rail that was found joined. */
export function isOfRepair({ what, wasUpset }: ProofItem): boolean {
  return what !== 'rail' || wasUpset === true;
}

/** What a board without faults would show. */
export interface Healthy {
  /** Whether a reading is what it would show. */
  isClear(reading: Reading): boolean;
  /** The mode in which a short between two nets would stand out: ohms where it beeps anyway. */
  modeFor(a: number, b: number): MeterMode;
  /** The diode test that shows which way round a part was fitted; undefined where none would. */
  turnTest(part: number): Probe | undefined;
}

/**
 * The proof of a board: nothing lifted or off; every rail read clear after the last change; every
 * replaced part read clear on its pads, across each pair of pins its kind fails between and, where
 * that shows, the way round that it must sit, after it was fitted.
 */
export function proofOf(board: Board, evidence: Evidence, healthy: Healthy): ProofItem[] {
  return [
    ...openEntries(board, evidence),
    ...board.rails.map((rail, index): ProofItem => {
      const probe = between(rail.plus, rail.minus, healthy);
      const clear = readClear(evidence, probe, evidence.lastChange, healthy);
      return {
        what: 'rail',
        name: `rail ${rail.name}`,
        index,
        missing: clear ? [] : [probe],
        holds: clear,
        wasUpset: readingsOf(evidence, probe, -1).some((reading) => !healthy.isClear(reading)),
      };
    }),
    ...[...evidence.replacedAt].map(([part, since]) =>
      replacedItem(board, evidence, board.parts[part] as Part, since, healthy),
    ),
  ];
}

/** The reading still to be taken clear between two nets after an event; none when it was. */
export function missingBetween(
  evidence: Evidence,
  [a, b]: readonly [number, number],
  after: number,
  healthy: Healthy,
): Probe | undefined {
  const probe = between(a, b, healthy);
  return readClear(evidence, probe, after, healthy) ? undefined : probe;
}

function openEntries(board: Board, evidence: Evidence): ProofItem[] {
  const parts = new Set(evidence.state.off);
  for (const pin of evidence.state.lifted) parts.add(board.pins[pin]?.part ?? -1);
  return [...parts].map((index) => ({
    what: 'refit',
    name: board.parts[index]?.name ?? '?',
    index,
    missing: [],
    holds: false,
  }));
}

function replacedItem(
  board: Board,
  evidence: Evidence,
  part: Part,
  since: number,
  healthy: Healthy,
): ProofItem {
  const turn = healthy.turnTest(part.index);
  const probes = padPairs(board, part).map(([a, b]) => between(a, b, healthy));
  const missing = [...probes, ...(turn === undefined ? [] : [turn])].filter(
    (probe) => !readClear(evidence, probe, since, healthy),
  );
  return { what: 'part', name: part.name, index: part.index, missing, holds: missing.length === 0 };
}

/** Pairs of nets between which a part of this kind fails short; the first two pins where it names none. */
export function padPairs(board: Board, part: Part): (readonly [number, number])[] {
  const netNamed = new Map(part.pins.map((pin) => [board.pins[pin]?.name, board.pins[pin]?.net]));
  const pairs = new Map<string, readonly [number, number]>();
  const add = (a: number | undefined, b: number | undefined): void => {
    if (a === undefined || b === undefined || a === b) return;
    pairs.set(a < b ? `${a}-${b}` : `${b}-${a}`, [a, b]);
  };
  for (const { joins } of part.kind.modes) {
    for (const [a, b] of joins) add(netNamed.get(a), netNamed.get(b));
  }
  if (pairs.size === 0) {
    const nets = [...new Set(part.pins.map((pin) => board.pins[pin]?.net))];
    add(nets[0], nets[1]);
  }
  return [...pairs.values()];
}

function between(a: number, b: number, healthy: Healthy): Probe {
  return { mode: healthy.modeFor(a, b), red: { net: a }, black: { net: b } };
}

function readClear(evidence: Evidence, probe: Probe, after: number, healthy: Healthy): boolean {
  const last = readingsOf(evidence, probe, after).at(-1);
  return last !== undefined && healthy.isClear(last);
}

/** Readings after an event that tell what a reading wanted would. */
function readingsOf(evidence: Evidence, probe: Probe, after: number): Reading[] {
  return evidence.readings
    .filter(isAcrossBoard)
    .filter(
      ({ id, mode, red, black }) =>
        id > after &&
        (probe.mode === 'diode'
          ? mode === 'diode'
          : mode === 'ohms' || probe.mode === 'continuity') &&
        ((red.net === probe.red.net && black.net === probe.black.net) ||
          (probe.mode !== 'diode' && red.net === probe.black.net && black.net === probe.red.net)),
    );
}
