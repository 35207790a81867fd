import type { Random } from '../../src/bench/random.ts';
import { loadBoard } from '../../src/board/load.ts';
import type { Board } from '../../src/board/model.ts';
import { Circuit } from '../../src/circuit/circuit.ts';
import { COMMON_HANDHELD } from '../../src/circuit/meter.ts';
import type { Probe } from '../../src/circuit/reading.ts';
import { AS_FOUND, type BoardState, withLifted, withOff } from '../../src/circuit/state.ts';
import { type Bench, benchFor } from '../../src/faults/diagnose.ts';
import type { Evidence, TakenReading } from '../../src/faults/evidence.ts';
import { NO_EVIDENCE } from '../../src/faults/evidence.ts';
import type { Fault } from '../../src/faults/fault.ts';
import { DEFAULT_FAULT_SETTINGS, type FaultSettings } from '../../src/faults/settings.ts';
import { predict, worldOf } from '../../src/faults/world.ts';
import { denseOhms } from './brute-force.ts';

/** Kinds with one or two failed modes each, so that all sets can be gone through. */
const SMALL_KINDS = `
kinds:
  block:
    title: block
    pins: ["1", "2"]
    symmetric: true
    value: none
    fit-rate: 40
    source: test
    modes:
      short: {share: 1, joins: [["1", "2"]], ohms: [0.01, 3], source: test}
  strip:
    title: strip
    pins: ["1", "2"]
    symmetric: true
    value: ohms
    fit-rate: 20
    source: test
    resistances: [{between: ["1", "2"], ohms: value}]
    modes:
      open: {share: 0.6, opens: true, source: test}
      low: {share: 0.3, scales: [0.1, 0.4], source: test}
  valve:
    title: valve
    pins: [A, K]
    symmetric: false
    value: none
    fit-rate: 40
    source: test
    junctions: [{from: A, to: K, volts: 0.5, slope: 1.4}]
    modes:
      short: {share: 0.5, joins: [[A, K]], ohms: [0.01, 3], source: test}
      open: {share: 0.5, opens: true, source: test}
`;

/**
 * @param most parts
 * @param valves share of parts that conduct one way
 */
export function smallBoard(random: Random, most = 14, valves = 0): Board {
  const nets = 3 + Math.floor(random.next() * 4);
  const net = (): string => `N${Math.floor(random.next() * nets)}`;
  const lines = [`board: random`, SMALL_KINDS, 'parts:'];
  const count = 5 + Math.floor(random.next() * (most - 4));
  for (let k = 0; k < count; k++) {
    const a = net();
    let b = net();
    while (b === a) b = net();
    const drawn = random.next();
    if (drawn < valves) lines.push(`  V${k}: {kind: valve, pins: {A: ${a}, K: ${b}}}`);
    else if (drawn < 0.6) {
      const bank = random.next() < 0.35 ? ', bank: b1' : '';
      lines.push(`  B${k}: {kind: block, pins: [${a}, ${b}]${bank}}`);
    } else {
      const ohms = [0.01, 5, 20, 55, 1000][Math.floor(random.next() * 5)];
      lines.push(`  S${k}: {kind: strip, ohms: ${ohms}, pins: [${a}, ${b}]}`);
    }
  }
  return loadBoard(lines.join('\n'), 'random.yaml').board;
}

export function smallBench(board: Board, settings: Partial<FaultSettings>): Bench {
  const all = { ...DEFAULT_FAULT_SETTINGS, ...settings };
  return benchFor(new Circuit(board), COMMON_HANDHELD, all);
}

/**
 * Readings of a board with faults drawn from the chances themselves, a few of the readings wrong.
 * @param lit share of readings in diode test
 */
export function truthfulEvidence(bench: Bench, random: Random, lit = 0): Evidence {
  const { board } = bench.circuit;
  const { universe } = bench.universes.for(NO_EVIDENCE);
  const truth: Fault[] = [];
  for (const fault of universe.faults) {
    const isTaken = truth.some(({ group }) => group === fault.group);
    if (!isTaken && random.next() < fault.chance[0]) truth.push(fault);
  }
  const readings: TakenReading[] = [];
  const count = 2 + Math.floor(random.next() * 5);
  let state: BoardState = AS_FOUND;
  for (let id = 1; id <= count; id++) {
    const part = board.parts[Math.floor(random.next() * board.parts.length)];
    if (part !== undefined && random.next() < 0.35) {
      const lifts = random.next() < 0.5;
      state = lifts ? withLifted(state, [part.pins[0] as number]) : withOff(state, [part.index]);
    }
    readings.push({ ...randomReading(bench, truth, state, random, lit), id, state });
  }
  return { ...NO_EVIDENCE, readings, state };
}

function randomReading(
  bench: Bench,
  truth: readonly Fault[],
  state: BoardState,
  random: Random,
  lit: number,
): Omit<TakenReading, 'id' | 'state'> {
  const { board } = bench.circuit;
  const net = (): number => Math.floor(random.next() * board.nets.length);
  const a = net();
  let b = net();
  while (b === a) b = net();
  const probe: Probe = { mode: 'continuity', red: { net: a }, black: { net: b } };
  if (lit > 0 && random.next() < lit) return diodeReading(bench, truth, state, random, probe);
  const { ohms } = denseOhms(bench, state, truth, a, b);
  const slips = random.next() < 0.03;
  if (random.next() < 0.7) {
    const beeps = ohms < bench.meter.beepOhms !== slips;
    return { ...probe, value: { kind: beeps ? 'beep' : 'quiet' } };
  }
  if (ohms === Number.POSITIVE_INFINITY) return { ...probe, mode: 'ohms', value: { kind: 'over' } };
  const read = slips ? 10 ** (4 * random.next()) : ohms * (1 + 0.02 * random.normal());
  return { ...probe, mode: 'ohms', value: { kind: 'ohms', ohms: Math.max(0, read) } };
}

function diodeReading(
  bench: Bench,
  truth: readonly Fault[],
  state: BoardState,
  random: Random,
  { red, black }: Probe,
): Omit<TakenReading, 'id' | 'state'> {
  const { universe } = bench.universes.for(NO_EVIDENCE);
  const ids = truth.map(({ id }) => id);
  const { meter } = bench;
  const seen = predict(worldOf(bench.circuit, universe, state, ids), red.net, black.net);
  const volts = seen.through?.(meter.diodeAmps, meter.diodeVolts, false) ?? 0;
  const gone = random.next() < 0.2; // a junction gone open, which no beeper told of
  const isOver = volts > meter.diodeVolts || gone;
  const value = isOver
    ? ({ kind: 'over' } as const)
    : ({ kind: 'volts', volts: Math.max(0, volts + 0.02 * random.normal()) } as const);
  return { mode: 'diode', red, black, value };
}
