// Random faults, lifts and pairs of points on a board; the same for the same seed.

import { Random } from '../../dist/bench/random.js';
import { withJunctions } from '../../dist/circuit/lit.js';
import { AS_FOUND, withLifted, withOff } from '../../dist/circuit/state.js';

/** Pairs read under one state of the board, and most faults and lifts in one. */
const PAIRS_PER_STATE = 5;
const MOST_FAULTS = 4;

const BRIDGE_OHMS = [0, 0.05, 2, 400];

/**
 * @param circuit a `Circuit`
 * @param count pairs wanted of each: healthy, and with faults and lifts
 * @returns `{ faulty, state: { off, lifted, openParts, openPins, added, junctions }, sight: { view,
 *   added, red, black } }` each; numbers of parts, pins and nets
 */
export function casesOf(circuit, count, seed) {
  const random = new Random(seed);
  const points = new PointDrawer(circuit, random);
  const healthy = { off: [], lifted: [], openParts: [], openPins: [], added: [], junctions: [] };
  const cases = [];
  const add = (faulty, state) => {
    const sight = { view: viewOf(circuit, state), added: state.added };
    for (let k = 0; k < PAIRS_PER_STATE && cases.length < (faulty ? 2 : 1) * count; k++) {
      const [red, black] = points.pair(state);
      cases.push({ faulty, state, sight: { ...sight, red, black } });
    }
  };
  while (cases.length < count) add(false, healthy);
  while (cases.length < 2 * count) add(true, drawState(circuit, random));
  return cases;
}

/** The circuit with what a state has open, lifted or off taken out, and the junctions it adds. */
function viewOf(circuit, { off, lifted, openParts, openPins, junctions }) {
  const state = withOff(withLifted(AS_FOUND, lifted), off);
  const view = circuit.view(state, { parts: new Set(openParts), pins: new Set(openPins) });
  if (junctions.length === 0) return view;
  return withJunctions(view.network, () => [...view.junctions, ...junctions]);
}

function drawState(circuit, random) {
  const { board, models } = circuit;
  const state = { off: [], lifted: [], openParts: [], openPins: [], added: [], junctions: [] };
  const modesOf = ({ modes, moreModes }) => [...modes, ...moreModes];
  const failing = models.filter((model) => modesOf(model).length > 0);
  const failed = [];
  const count = 1 + below(random, MOST_FAULTS);
  for (let k = 0; k < count; k++) {
    const draw = random.next();
    if (draw < 0.55 && failing.length > 0) {
      const model = one(random, failing);
      const mode = one(random, modesOf(model));
      if (mode.opens) state.openParts.push(model.part);
      failed.push(mode);
    } else if (draw < 0.7) state.lifted.push(below(random, board.pins.length));
    else if (draw < 0.8) state.off.push(below(random, board.parts.length));
    else if (draw < 0.9) state.openPins.push(below(random, board.pins.length));
    else state.added.push(drawBridge(board, random));
  }
  const gone = (pin) =>
    state.lifted.includes(pin) ||
    state.openPins.includes(pin) ||
    state.off.includes(board.pins[pin].part);
  const netOf = (pin) => board.pins[pin].net;
  for (const { joins, netJoins = [], junctions = [] } of failed) {
    for (const { a, b, ohms } of joins) {
      if (!gone(a) && !gone(b)) state.added.push({ a: netOf(a), b: netOf(b), ohms });
    }
    for (const { pin, net, ohms } of netJoins) {
      if (!gone(pin)) state.added.push({ a: netOf(pin), b: net, ohms });
    }
    for (const { anode, cathode, volts, slope } of junctions) {
      if (gone(anode) || gone(cathode) || netOf(anode) === netOf(cathode)) continue;
      state.junctions.push({ netA: netOf(anode), netK: netOf(cathode), volts, slope });
    }
  }
  return state;
}

function drawBridge(board, random) {
  const a = below(random, board.nets.length);
  const b = (a + 1 + below(random, board.nets.length - 1)) % board.nets.length;
  return { a, b, ohms: one(random, BRIDGE_OHMS) };
}

/** Mostly pairs that something joins: two nets drawn blindly read OL nearly always. */
class PointDrawer {
  #board;
  #random;
  #netsOfPart;
  #partsOfNet;
  #rails;

  constructor({ board }, random) {
    this.#board = board;
    this.#random = random;
    this.#netsOfPart = board.parts.map(({ pins }) => [
      ...new Set(pins.map((pin) => board.pins[pin].net)),
    ]);
    this.#partsOfNet = board.nets.map(({ pins }) =>
      [...new Set(pins.map((pin) => board.pins[pin].part))].filter(
        (part) => this.#netsOfPart[part].length > 1,
      ),
    );
    const named = board.rails.flatMap(({ plus, minus }) => [plus, minus]);
    const busiest = board.nets.toSorted((a, b) => b.pins.length - a.pins.length).slice(0, 6);
    this.#rails = [...new Set([...named, ...busiest.map(({ index }) => index)])];
  }

  /** Two different nets, red first. */
  pair(state) {
    for (;;) {
      const [red, black] = this.#draw(state);
      if (red === undefined || black === undefined || red === black) continue;
      return this.#random.next() < 0.5 ? [red, black] : [black, red];
    }
  }

  #draw(state) {
    const random = this.#random;
    const draw = random.next();
    if (draw < 0.25 && touchedNets(this.#board, state).length > 0) {
      const net = one(random, touchedNets(this.#board, state));
      return random.next() < 0.5 ? [net, this.#step(net)] : [net, one(random, this.#rails)];
    }
    if (draw < 0.45) return this.#onePart();
    if (draw < 0.65) {
      const [first, second] = this.#onePart();
      return [first, this.#step(second)];
    }
    if (draw < 0.8) return [one(random, this.#rails), one(random, this.#rails)];
    if (draw < 0.9) return [one(random, this.#rails), below(random, this.#board.nets.length)];
    return [below(random, this.#board.nets.length), below(random, this.#board.nets.length)];
  }

  #onePart() {
    const nets = one(this.#random, this.#netsOfPart);
    return [one(this.#random, nets), one(this.#random, nets)];
  }

  /** A net on the far side of a part on this one. */
  #step(net) {
    const parts = this.#partsOfNet[net];
    if (parts.length === 0) return net;
    return one(this.#random, this.#netsOfPart[one(this.#random, parts)]);
  }
}

/** Nets on which a state changed something. */
function touchedNets(board, { off, lifted, openParts, openPins, added, junctions }) {
  const pins = [
    ...lifted,
    ...openPins,
    ...[...off, ...openParts].flatMap((p) => board.parts[p].pins),
  ];
  return [
    ...pins.map((pin) => board.pins[pin].net),
    ...added.flatMap(({ a, b }) => [a, b]),
    ...junctions.flatMap(({ netA, netK }) => [netA, netK]),
  ];
}

function below(random, count) {
  return Math.floor(random.next() * count);
}

function one(random, items) {
  return items[below(random, items.length)];
}
