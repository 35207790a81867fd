import fc from 'fast-check';
import { loadBoard } from '../../src/board/load.ts';
import type { Board } from '../../src/board/model.ts';
import {
  type BoardState,
  withLifted,
  withOff,
  withRefitted,
  withReflowed,
  withReplaced,
} from '../../src/circuit/state.ts';
import { type Evidence, type LookFinding, NO_EVIDENCE } from '../../src/faults/evidence.ts';

const BOARD = `
board: Alike parts, in banks and out
rails: {bus: {plus: P48, minus: GND, volts: 48}}
heatsinks: {HS1: {net: GND}}
parts:
  C1: {kind: electrolytic, farads: 100u, pins: {plus: P48, minus: GND}}
  C2: {kind: electrolytic, farads: 100u, pins: {plus: P48, minus: GND}}
  C3: {kind: electrolytic, farads: 100u, pins: {plus: P48, minus: GND}}
  C4: {kind: ceramic, pins: [P48, GND], bank: few}
  C5: {kind: ceramic, pins: [P48, GND], bank: few}
  F1: {kind: fuse, pins: [IN, P48]}
  R1: {kind: resistor, ohms: 10k, pins: [P48, LED]}
  R2: {kind: resistor, ohms: 10k, pins: [P48, LED]}
  D1: {kind: diode, pins: {A: LED, K: GND}}
  D2: {kind: diode, pins: {A: LED, K: GND}}
  Q1: {kind: n-mosfet, pins: {G: GATE, D: P48, S: LED}, bank: switch, heatsink: HS1}
  Q2: {kind: n-mosfet, pins: {G: GATE, D: P48, S: LED}, bank: switch}
`;

/** Parts alike and not, in banks and out, one on a heatsink. */
export const board: Board = loadBoard(BOARD, 'alike.yaml').board;
const parts = fc.integer({ min: 0, max: board.parts.length - 1 });
const pins = fc.integer({ min: 0, max: board.pins.length - 1 });
const nets = fc.integer({ min: 0, max: board.nets.length - 1 });

export type Event = (evidence: Evidence, id: number) => Evidence;

function changed(change: (state: BoardState) => BoardState): Event {
  return (evidence) => ({ ...evidence, state: change(evidence.state) });
}

const findings = fc.constantFrom<LookFinding>('burnt', 'cracked', 'off its pad', 'looks sound');
/** Something done, seen or read, whatever came before. */
export const event: fc.Arbitrary<Event> = fc.oneof(
  pins.map((pin) => changed((state) => withLifted(state, [pin]))),
  parts.map((part) => changed((state) => withOff(state, [part]))),
  parts.map((part) => changed((state) => withRefitted(state, part, board.parts[part]!.pins))),
  pins.map((pin) => changed((state) => withReflowed(state, [pin]))),
  parts.map((part) => changed((state) => withReplaced(state, part, board.parts[part]!.pins))),
  fc.tuple(parts, findings).map(
    ([part, finding]): Event =>
      (evidence, id) => {
        const look = { id, part, finding, state: evidence.state };
        return { ...evidence, looks: [...evidence.looks, look] };
      },
  ),
  fc.tuple(pins, findings).map(
    ([pin, finding]): Event =>
      (evidence, id) => {
        const look = { id, pin, finding, state: evidence.state };
        return { ...evidence, looks: [...evidence.looks, look] };
      },
  ),
  fc.tuple(nets, nets, fc.constantFrom('continuity', 'ohms', 'diode')).map(
    ([red, black, mode]): Event =>
      (evidence, id) => {
        const points = { mode, red: { net: red }, black: { net: black } } as const;
        const reading = { ...points, id, value: { kind: 'over' } as const, state: evidence.state };
        return { ...evidence, readings: [...evidence.readings, reading] };
      },
  ),
  parts.map(
    (part): Event =>
      (evidence, id) => {
        const [a = 0, b = 0] = board.parts[part]!.pins;
        const point = (pin: number) => ({ pin, net: board.pins[pin]!.net });
        const points = { mode: 'ohms', red: point(a), black: point(b), offPart: part } as const;
        const reading = {
          ...points,
          id,
          value: { kind: 'ohms', ohms: 0.4 } as const,
          state: evidence.state,
        };
        return { ...evidence, readings: [...evidence.readings, reading] };
      },
  ),
);

/** Evidence after each event. */
export function along(events: readonly Event[]): Evidence[] {
  let evidence: Evidence = NO_EVIDENCE;
  return events.map((each, k) => {
    evidence = each(evidence, k + 1);
    return evidence;
  });
}
