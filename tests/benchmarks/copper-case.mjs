// A rail with a hidden short, twice: the board file that the engine gets, and the copper it knows
// nothing of.
import { loadBoard } from '../../dist/board/load.js';
import { drawCopper, normal } from './copper-draw.mjs';
import { placesOf } from './copper-places.mjs';
import { Conductors } from './copper-solve.mjs';
import { dice } from './dice.mjs';

/**
 * `rail` and `back` are shapes of the copper; `shorts` how many there are; `ohms` from and to, log-uniform;
 * `areas` 2 puts the short behind a link.
 */
export const SCENARIOS = {
  shortest: { rail: 'shortest', back: 'shortest' },
  tree: { rail: 'tree', back: 'tree' },
  trunk: { rail: 'trunk', back: 'tree' },
  'return plane': { rail: 'tree', back: 'plane' },
  planes: { rail: 'broken plane', back: 'plane' },
  'two shorts': { rail: 'tree', back: 'tree', shorts: 2 },
  'behind a link': { rail: 'tree', back: 'tree', areas: 2 },
  resistive: { rail: 'tree', back: 'tree', ohms: [1, 8] },
};

const HARD_OHMS = [0.02, 1];
/** mm, the middle of the widths of the rail; the return has four times that. */
const RAIL_WIDE = 1;
const RETURN_WIDE = 4;
/** How far the middle width of a board is from that: spread of ln mm. */
const BOARD_SPREAD = 0.3;
/** A rail of which a width can be told is near that all along: spread of ln mm. */
const TOLD_SPREAD = 0.35;
/** Ounces of a rail that is a plane: an inner layer. The return has 1. */
const RAIL_OUNCES = 0.5;
const LINK_OHMS = [0.5e-3, 20e-3];
const BLEED_OHMS = 4700;

/**
 * @param placement `real` or `random`
 * @param told whether the board file says what the copper is like
 */
export function copperCase({ scenario, size, seed, placement, told = false }) {
  const next = dice(seed * 1009 + size);
  const { rail, back, shorts = 1, ohms = HARD_OHMS, areas = 1 } = SCENARIOS[scenario];
  const { name, pads } = placesOf(placement, size, seed, next);
  const parts = [...capacitors(pads, areas), ...others(pads, areas)];
  const shapes = { VCC: rail, ...(areas === 2 && { VCC2: rail }), GND: back };
  const nets = new Map(
    Object.entries(shapes).map(([net, shape]) => [
      net,
      { shape, wide: middleOf(net, shape, next) },
    ]),
  );
  const yaml = yamlOf(parts, nets, told);
  const { board } = loadBoard(yaml, 'copper');
  const among = pads
    .map((_, k) => k)
    .filter((k) => parts[k].pins[0].net === `VCC${areas === 2 ? 2 : ''}`);
  const bad = Array.from({ length: shorts }, () => {
    const [part] = among.splice(Math.floor(next() * among.length), 1);
    return { part, ohms: between(ohms, next) };
  });
  const copper = coppersOf(board, nets, { next, ...(told && { spread: TOLD_SPREAD }) });
  const link = between(LINK_OHMS, next);
  return {
    board,
    yaml,
    placement: name,
    shorts: bad,
    truth: new Truth(board, { copper, bad, link }),
  };
}

/** The middle of the widths of a net, mm; for a plane its ounces. */
function middleOf(net, shape, next) {
  if (shape.endsWith('plane')) return net === 'GND' ? 1 : RAIL_OUNCES;
  return (net === 'GND' ? RETURN_WIDE : RAIL_WIDE) * Math.exp(BOARD_SPREAD * normal(next));
}

function between([least, most], next) {
  return least * (most / least) ** next();
}

function capacitors(pads, areas) {
  const xs = pads.map(([[x]]) => x).sort((a, b) => a - b);
  const middle = xs[Math.floor(xs.length / 2)];
  return pads.map(([plus, minus], k) => ({
    name: `C${k + 1}`,
    facts: "kind: ceramic, farads: 100n, volts: 16, package: '0402'",
    pins: [
      { name: '1', net: areas === 2 && plus[0] >= middle ? 'VCC2' : 'VCC', at: plus },
      { name: '2', net: 'GND', at: minus },
    ],
  }));
}

/**
 * What else is on such a rail: where it comes in and goes out, what bleeds it, where it is probed. No IC,
 * which would be the likelier part to be short: what is short is drawn from parts that are alike.
 */
function others(pads, areas) {
  const xs = pads.map(([[x]]) => x).sort((a, b) => a - b);
  const ys = pads.map(([[, y]]) => y);
  const [left, right] = [xs[0] - 2, xs[xs.length - 1] + 2];
  const [low, high] = [Math.min(...ys), Math.max(...ys)];
  const middle = xs[Math.floor(xs.length / 2)];
  const y = (low + high) / 2;
  const far = areas === 2 ? 'VCC2' : 'VCC';
  const bleed = (name, net, x) =>
    part(name, `kind: resistor, ohms: ${BLEED_OHMS}`, [net, [x, high]], ['GND', [x, high - 2]]);
  return [
    part('J1', 'kind: connector', ['VCC', [left, low]], ['GND', [left, low + 3]]),
    part('J2', 'kind: connector', [far, [right, y]], ['GND', [right, y + 3]]),
    bleed('R1', 'VCC', left),
    bleed('R2', far, right),
    part('TP1', 'kind: test-point', ['VCC', [left, y]]),
    part('TP2', 'kind: test-point', ['GND', [left, y + 2]]),
    ...(areas === 2
      ? [part('R90', 'kind: jumper', ['VCC', [middle - 3, y]], ['VCC2', [middle, y]])]
      : []),
  ];
}

function part(name, facts, ...ends) {
  const pins = ends.map(([net, at], k) => ({ name: String(k + 1), net, at }));
  return { name, facts: `${facts}, package: '0603'`, pins };
}

function yamlOf(parts, nets, told) {
  const round = ([x, y]) => `[${x.toFixed(2)}, ${y.toFixed(2)}]`;
  const lines = parts.map(({ name, facts, pins }) => {
    const middle = [0, 1].map(
      (axis) => pins.reduce((sum, { at }) => sum + at[axis], 0) / pins.length,
    );
    const names = pins.map((pin) => `${pin.name}: ${pin.net}`).join(', ');
    const places = pins.map((pin) => `${pin.name}: ${round(pin.at)}`).join(', ');
    return `  ${name}: {${facts}, pins: {${names}}, at: ${round(middle)}, pin-at: {${places}}}`;
  });
  const rails = [...nets.keys()].filter((net) => net !== 'GND');
  return [
    'board: A rail of capacitors',
    'rails:',
    ...rails.map((net) => `  ${net}: {plus: ${net}, minus: GND, volts: 3.3}`),
    'parts:',
    ...lines,
    'nets:',
    '  VCC: {points: [TP1]}',
    '  GND: {points: [TP2]}',
    ...(told ? copperLines(nets) : []),
    '',
  ].join('\n');
}

/** What a person can see of the copper: planes, and how wide the traces mostly are. */
function copperLines(nets) {
  const lines = [...nets].map(([net, { shape, wide }]) =>
    shape.endsWith('plane')
      ? `    ${net}: {shape: plane, weight: ${wide} oz}`
      : `    ${net}: {shape: traces, width: ${wide.toFixed(1)} mm}`,
  );
  return ['copper:', '  nets:', ...lines];
}

/** True copper of every net of the rail. */
function coppersOf(board, nets, how) {
  return board.nets.map((net) => {
    const { shape, wide } = nets.get(net.name);
    const pads = net.pins.map((pin) => board.pins[pin].at);
    return { net, ...drawCopper(shape, { pads, wide, ...how }) };
  });
}

/** What is really there: answers in Ω and V for any two points, under any state of the board. */
export class Truth {
  constructor(board, { copper, bad, link }) {
    this.board = board;
    this.bad = bad;
    this.link = link;
    this.count = 0;
    this.edges = [];
    this.nodeOf = new Map();
    for (const { net, count, edges, nodes } of copper) {
      for (const [a, b, ohms] of edges) this.edges.push([a + this.count, b + this.count, ohms]);
      net.pins.forEach((pin, k) => {
        this.nodeOf.set(pin, nodes[k] + this.count);
      });
      this.count += count;
    }
    this.kept = new WeakMap();
  }

  ohms({ red, black }, state) {
    return this.#under(state).ohms(this.#node(red), this.#node(black));
  }

  /** V of red over black while a current goes through the board. */
  volts({ red, black, injected }, state) {
    const { red: from, black: to, amps } = injected;
    const volts = this.#under(state).volts(this.#node(from), this.#node(to), amps);
    return volts === undefined ? undefined : volts[this.#node(red)] - volts[this.#node(black)];
  }

  #node({ net, pin }) {
    const { points, pins } = this.board.nets[net];
    const handy = points.map((name) => this.board.partNamed.get(name)?.pins[0]);
    return this.nodeOf.get(pin ?? handy.find((one) => one !== undefined) ?? pins[0]);
  }

  #under(state) {
    if (!this.kept.has(state)) {
      this.kept.set(state, new Conductors(this.count, [...this.edges, ...this.#parts(state)]));
    }
    return this.kept.get(state);
  }

  #parts({ off, lifted, piece }) {
    const across = ({ part, ohms }) => {
      const { pins } = this.board.parts[part];
      if (off.has(part) || pins.some((pin) => lifted.has(pin))) return [];
      return [[this.nodeOf.get(pins[0]), this.nodeOf.get(pins[1]), ohms]];
    };
    const index = (name) => this.board.partNamed.get(name)?.index;
    const jumper = index('R90');
    return [
      ...this.bad.filter(({ part }) => (piece.get(part) ?? 0) === 0).flatMap(across),
      ...['R1', 'R2'].flatMap((name) => across({ part: index(name), ohms: BLEED_OHMS })),
      ...(jumper === undefined ? [] : across({ part: jumper, ohms: this.link })),
    ];
  }
}
