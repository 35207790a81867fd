// npm run bench -- half-known [JOBS] [COUNTS] [BOARD]: jobs on boards whose file lacks parts that are there, or
// calls them unknown. Of the weights said along the way: how many of those from 0.9 up were so?

import { SimulatedBench } from '../../dist/bench/simulated-bench.js';
import { catalogue } from '../../dist/board/catalogue.js';
import { COMMON_HANDHELD } from '../../dist/circuit/meter.js';
import { shippedBoards } from './boards.mjs';
import { dice } from './dice.mjs';
import { openBoard, playJob } from './play.mjs';
import { inColumns } from './tables.mjs';

const [jobs = '30', counts = '0,3,8', only] = process.argv.slice(2);
const MOST_STEPS = 60;
/** Nobody overlooks a connector. */
const SEEN = new Set(['connector', 'test-point', 'mechanical']);

/** The board with some parts numbered last, so that the file's board is the front of it. */
function lastly(board, missing) {
  const order = [
    ...board.parts.filter(({ index }) => !missing.has(index)),
    ...board.parts.filter(({ index }) => missing.has(index)),
  ];
  const oldPins = order.flatMap(({ pins }) => pins);
  const pinNumber = new Map(oldPins.map((pin, index) => [pin, index]));
  const isKept = (net) => board.nets[net].pins.some((pin) => !missing.has(board.pins[pin].part));
  const nets = board.nets.map(({ index }) => index);
  const oldNets = [...nets.filter(isKept), ...nets.filter((net) => !isKept(net))];
  const netNumber = new Map(oldNets.map((net, index) => [net, index]));
  const parts = order.map((part, index) => ({
    ...part,
    index,
    pins: part.pins.map((pin) => pinNumber.get(pin)),
    windings: part.windings.map((each) => ({
      ...each,
      pins: each.pins.map((pin) => pinNumber.get(pin)),
    })),
  }));
  const whole = named({
    ...board,
    parts,
    pins: parts.flatMap((part) =>
      part.pins.map((index) => {
        const pin = board.pins[oldPins[index]];
        return { ...pin, index, part: part.index, net: netNumber.get(pin.net) };
      }),
    ),
    nets: oldNets.map((net, index) => ({
      ...board.nets[net],
      index,
      pins: board.nets[net].pins.map((pin) => pinNumber.get(pin)),
    })),
    rails: board.rails.map((rail) => ({
      ...rail,
      plus: netNumber.get(rail.plus),
      minus: netNumber.get(rail.minus),
    })),
    copper: undefined,
    heatsinks: [],
  });
  const count = board.parts.length - missing.size;
  const pinCount = whole.parts.slice(0, count).reduce((sum, { pins }) => sum + pins.length, 0);
  const file = named({
    ...whole,
    parts: whole.parts.slice(0, count),
    pins: whole.pins.slice(0, pinCount),
    nets: whole.nets
      .slice(0, nets.filter(isKept).length)
      .map((net) => ({ ...net, pins: net.pins.filter((pin) => pin < pinCount) })),
  });
  return { whole, file };
}

function named(board) {
  return {
    ...board,
    partNamed: new Map(board.parts.map((part) => [part.name, part])),
    netNamed: new Map(board.nets.map((net) => [net.name, net])),
  };
}

/** The board with some parts of which the file tells the nets alone. */
function unknown(board, some) {
  const kind = catalogue().get('unknown');
  const parts = board.parts.map((part) => {
    if (!some.has(part.index)) return part;
    const { ohms: _o, farads: _f, henries: _h, volts: _v, bank: _b, ...rest } = part;
    return { ...rest, kind, windings: [] };
  });
  return { whole: board, file: named({ ...board, parts }) };
}

/** Whether a sound part of its kind lets a beeper sound between two of its nets. */
function conducts(board, { kind, pins, ohms = kind.typicalOhms, windings }) {
  const few = (each) => each < COMMON_HANDHELD.beepOhms;
  const isOne = new Set(pins.map((pin) => board.pins[pin].net)).size < 2;
  const usual = kind.healthy.some(
    (spec) => spec.element === 'resistance' && few(spec.ohms === 'value' ? ohms : spec.ohms),
  );
  return !isOne && (usual || windings.some((winding) => few(winding.ohms)));
}

function drawn(board, count, next) {
  const all = board.parts.filter(({ kind }) => !SEEN.has(kind.name)).map(({ index }) => index);
  const some = new Set();
  while (some.size < count) some.add(all[Math.floor(next() * all.length)]);
  return some;
}

function play({ name, board }, how, count, seed) {
  const some = drawn(board, count, dice(seed * 31 + count));
  const { whole, file } = how === 'missing' ? lastly(board, some) : unknown(board, some);
  const bench = new SimulatedBench(whole, { seed, faults: 1 });
  const faulty = new Set([...bench.faultyParts].map((part) => whole.parts[part].name));
  // Of a part called unknown it is only said that its pins are joined, as a coil's are.
  const joins = new Set(
    how === 'unknown' ? [...some].filter((part) => conducts(whole, whole.parts[part])) : [],
  );
  const told = { said: 0, so: 0, heavy: 0, heavySo: 0, links: 0 };
  const watch = ({ diagnosis, evidence }, { phase }) => {
    if (phase !== 'isolate' && phase !== 'repair') return;
    diagnosis.suspects.forEach(({ part, weight }) => {
      const isFaulty =
        faulty.has(file.parts[part].name) && (evidence.state.piece.get(part) ?? 0) === 0;
      const isSo = isFaulty || joins.has(part);
      told.said += weight;
      told.so += isSo ? 1 : 0;
      if (weight < 0.9) return;
      told.heavy += 1;
      told.heavySo += isSo ? 1 : 0;
    });
  };
  const inFile = {
    answer: (...asked) => bench.answer(...asked),
    look: (...asked) => bench.look(...asked),
    hidden: bench.hidden,
    // What the figures of a job are made from; of a part the file lacks nobody can be told.
    faultyParts: new Set([...bench.faultyParts].filter((part) => part < file.parts.length)),
  };
  const options = { seed, bench: inFile, watch, mostSteps: MOST_STEPS };
  const { clear, steps } = playJob(openBoard(file), options);
  return {
    name,
    clear,
    steps,
    isHidden: [...faulty].every((part) => !file.partNamed.has(part)),
    ...told,
  };
}

const rows = [['board', 'file', 'parts', 'clear', 'said', 'so', 'from 0.9', 'so']];
for (const each of shippedBoards().filter(({ name }) => only === undefined || only === name)) {
  for (const count of counts.split(',').map(Number)) {
    for (const how of count === 0 ? ['whole'] : ['missing', 'unknown']) {
      const all = Array.from({ length: Number(jobs) }, (_, seed) =>
        play(each, how === 'whole' ? 'unknown' : how, count, seed + 1),
      );
      const sum = (key) => all.reduce((total, row) => total + Number(row[key]), 0);
      rows.push([
        each.name,
        how,
        String(count),
        `${sum('clear')}/${all.length}`,
        sum('said').toFixed(1),
        String(sum('so')),
        String(sum('heavy')),
        (sum('heavySo') / Math.max(1, sum('heavy'))).toFixed(2),
      ]);
      console.log(rows.at(-1).join('  '));
    }
  }
}
console.log(inColumns(rows));
