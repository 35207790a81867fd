// What a reading costs, without junctions and with them, and what one operating point of the same
// circuit costs in ngspice.

import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Random } from '../../dist/bench/random.js';
import { Circuit } from '../../dist/circuit/circuit.js';
import { JunctionNetwork } from '../../dist/circuit/junction-network.js';
import { linearOhms, voltsAt } from '../../dist/circuit/sight.js';
import { AS_FOUND } from '../../dist/circuit/state.js';
import { casesOf } from '../oracle/cases.mjs';
import { deckOf } from '../oracle/deck.mjs';
import { runDecks, simulatorVersion, TRIES } from '../oracle/simulator.mjs';
import { realBoards, shippedBoards } from './boards.mjs';
import { median, short, tableText } from './circuit-show.mjs';

const SEED = 20_260;
const HYPOTHESES = 1000;
const PAIRS = 36;
const FAULTS = [1, 2, 3];
/** Hypotheses whose readings are also taken with junctions, each for every pair. */
const LIT_HYPOTHESES = 25;
const AMPS = 1e-3;
const CEILING_VOLTS = 2;
const ROUNDS = 9;
/** A deck's point is solved so often for timing that this many elements are met. */
const ELEMENTS_MET = 30_000;

export function measureSpeed() {
  const version = simulatorVersion();
  console.log(`speed: microseconds a reading, median of ${ROUNDS} interleaved rounds`);
  console.log(
    `${HYPOTHESES} hypotheses, ${PAIRS} pairs of points; ${version ?? 'no ngspice here'}`,
  );
  const measured = [...shippedBoards(), ...realBoards(['vesc-bldc4', 'minnow-v1'])].map((each) =>
    measureBoard(each, version !== undefined),
  );
  console.log(`\n${tableText([LINEAR_HEAD, ...measured.flatMap(linearRows)])}`);
  console.log(`\n${tableText([LIT_HEAD, ...measured.flatMap(litRows)])}`);
  if (version !== undefined) {
    console.log(`\n${tableText([SIMULATOR_HEAD, ...measured.flatMap(simulatorRows)])}`);
  }
}

function measureBoard({ name, board }, isSimulated) {
  const circuit = new Circuit(board);
  const view = circuit.view(AS_FOUND);
  const pairs = casesOf(circuit, PAIRS, SEED).slice(0, PAIRS);
  const drawer = new FaultDrawer(circuit, new Random(SEED));
  const sightsOf = (added) =>
    pairs.map(({ sight: { red, black } }) => ({ view, added, red, black }));
  const linear = FAULTS.map((count) => {
    const sights = Array.from({ length: HYPOTHESES }, () => sightsOf(drawer.draw(count))).flat();
    return { count, ...split(sights, linearOhms) };
  });
  const litSights = Array.from({ length: LIT_HYPOTHESES }, () => sightsOf(drawer.draw(1))).flat();
  const lit = litOf(view, distinct(litSights));
  const folder = mkdtempSync(join(tmpdir(), 'speed-'));
  try {
    const times = rounds(view, linear, lit, isSimulated ? folder : undefined);
    return { name, board, view, linear, lit, times };
  } finally {
    rmSync(folder, { recursive: true });
  }
}

/** Readings where a junction counts, and readings over the ceiling. */
function litOf(view, sights) {
  const { value, over } = split(sights, (sight) => voltsAt(sight, AMPS, CEILING_VOLTS));
  const isDark = (sight) => view.lit().isDark(AMPS * linearOhms(sight), AMPS);
  return { value: value.filter((sight) => !isDark(sight)), over };
}

function split(sights, read) {
  const isValue = (sight) => Number.isFinite(read(sight));
  return { value: sights.filter(isValue), over: sights.filter((sight) => !isValue(sight)) };
}

/** One of each: the network of junctions keeps its answers. */
function distinct(sights) {
  const key = ({ added, red, black }) => JSON.stringify([added, red, black]);
  return [...new Map(sights.map((sight) => [key(sight), sight])).values()];
}

/** Everything once a round. Times in µs, the simulator's in ms. */
function rounds(view, linear, lit, folder) {
  const took = {};
  const note = (key, time) => {
    took[key] ??= [];
    if (time !== undefined) took[key].push(time);
  };
  for (let round = 0; round < ROUNDS; round++) {
    for (const { count, value, over } of linear) {
      note(`value ${count}`, microsOf(value, linearOhms));
      note(`over ${count}`, microsOf(over, linearOhms));
    }
    // A network of junctions of its own has no answers yet; the columns below it are kept.
    const junctions = new JunctionNetwork(view.network, view.junctions);
    const fresh = { ...view, lit: () => junctions };
    const read = (sight) => voltsAt({ ...sight, view: fresh }, AMPS, CEILING_VOLTS);
    note('lit value', microsOf(lit.value, read));
    note('lit over', microsOf(lit.over, read));
    if (folder === undefined || lit.value.length === 0) continue;
    const sight = lit.value[Math.floor(((round + 0.5) * lit.value.length) / ROUNDS)];
    const bare = { ...sight, view: { ...view, junctions: [] } };
    const full = simulatorMs(deckOf(sight, 'speed'), folder);
    note('process', full.process);
    note('point', full.point);
    const plain = deckOf(bare, 'speed');
    if (plain !== undefined) note('linear point', simulatorMs(plain, folder).point);
  }
  return Object.fromEntries(Object.entries(took).map(([key, list]) => [key, median(list)]));
}

function microsOf(sights, read) {
  if (sights.length === 0) return undefined;
  const start = performance.now();
  for (const sight of sights) read(sight);
  return ((performance.now() - start) * 1e3) / sights.length;
}

/** ms of a process that solves one point, and of one point more in a process that runs. */
function simulatorMs(deck, folder) {
  const ms = (repeats) =>
    runDecks([{ deck, currents: [AMPS] }], folder, TRIES[0], repeats).seconds * 1e3;
  const repeats = Math.ceil(ELEMENTS_MET / deck.lines.length);
  const process = ms(1);
  return { process, point: (ms(1 + repeats) - process) / repeats };
}

/** Branches that failed modes of random parts add. */
class FaultDrawer {
  #board;
  #random;
  #joins;

  constructor({ board, models }, random) {
    this.#board = board;
    this.#random = random;
    const joining = models.map(({ modes }) => modes.flatMap(({ joins }) => joins));
    this.#joins = joining.filter((joins) => joins.length > 0);
  }

  draw(count) {
    return Array.from({ length: count }, () => {
      const { a, b, ohms } = this.#one(this.#one(this.#joins));
      return { a: this.#board.pins[a].net, b: this.#board.pins[b].net, ohms };
    });
  }

  #one(items) {
    return items[Math.floor(this.#random.next() * items.length)];
  }
}

const LINEAR_HEAD = ['resistances', 'fault branches', 'a value', 'µs', 'OL', 'µs'];

function linearRows({ name, linear, times }) {
  return linear.map(({ count, value, over }) => [
    name,
    count,
    value.length,
    short(times[`value ${count}`]),
    over.length,
    short(times[`over ${count}`]),
  ]);
}

const LIT_HEAD = ['junctions at 1 mA', 'junctions', 'a value', 'µs', 'over 2 V', 'µs'];

function litRows({ name, view, lit, times }) {
  return [
    [
      name,
      view.junctions.length,
      lit.value.length,
      short(times['lit value']),
      lit.over.length,
      short(times['lit over']),
    ],
  ];
}

const SIMULATOR_HEAD = [
  'ngspice',
  'ms',
  '÷ 1 branch',
  '÷ 2',
  '÷ 3',
  '÷ junctions, a value',
  '÷ over',
];

/** How many times a reading goes into a run of the simulator. */
function simulatorRows({ name, times }) {
  const row = (title, key) => {
    const micros = times[key] * 1e3;
    const keys = [...FAULTS.map((count) => `value ${count}`), 'lit value', 'lit over'];
    return [`${name}, ${title}`, short(times[key]), ...keys.map((k) => short(micros / times[k]))];
  };
  return [
    row('a process with one point', 'process'),
    row('a point', 'point'),
    row('a point without junctions', 'linear point'),
  ];
}
