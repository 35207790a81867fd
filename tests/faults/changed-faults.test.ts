import fc from 'fast-check';
import { expect, test } from 'vitest';
import { loadBoard } from '../../src/board/load.ts';
import {
  AS_FOUND,
  type BoardState,
  stateKey,
  withLifted,
  withOff,
  withReflowed,
  withReplaced,
} from '../../src/circuit/state.ts';
import type { Bench } from '../../src/faults/diagnose.ts';
import { type Evidence, type LookFinding, NO_EVIDENCE } from '../../src/faults/evidence.ts';
import { actsOn, type Fault } from '../../src/faults/fault.ts';
import type { Universe } from '../../src/faults/universe.ts';
import { listedAnew } from './listed-anew.ts';
import { smallBench } from './random-board.ts';

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

const { board } = loadBoard(BOARD, 'alike.yaml');
const parts = fc.integer({ min: 0, max: board.parts.length - 1 });
const pins = fc.integer({ min: 0, max: board.pins.length - 1 });
const nets = fc.integer({ min: 0, max: board.nets.length - 1 });

type Event = (evidence: Evidence, id: number) => Evidence;

function changed(change: (state: BoardState) => BoardState): Event {
  return (evidence) => ({ ...evidence, state: change(evidence.state) });
}

const findings = fc.constantFrom<LookFinding>('burnt', 'cracked', 'off its pad', 'looks sound');
const event: fc.Arbitrary<Event> = fc.oneof(
  pins.map((pin) => changed((state) => withLifted(state, [pin]))),
  parts.map((part) => changed((state) => withOff(state, [part]))),
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
function along(events: readonly Event[]): Evidence[] {
  let evidence: Evidence = NO_EVIDENCE;
  return events.map((each, k) => {
    evidence = each(evidence, k + 1);
    return evidence;
  });
}

/** All that a fault says, but its number. */
function told(fault: Omit<Fault, 'id' | 'group'>): string {
  const { what, mode, members, piece, branches, spread, opensPart, junctions, pin, bank } = fault;
  const { chance } = fault;
  const of = [what, mode, members, piece, branches, spread, opensPart, junctions, pin, bank];
  return JSON.stringify([...of, chance]);
}

function isListed(fault: Fault): boolean {
  return fault.members.length > 0;
}

/** The faults of parts and joints; what is said of copper stands behind them. */
function ofPieces({ faults }: Universe): Fault[] {
  return faults.filter(isListed);
}

test('the faults after any changes are those that listing all of them anew gives', () => {
  const kept = smallBench(board, {});
  fc.assert(
    fc.property(fc.array(event, { maxLength: 9 }), (events) => {
      for (const evidence of along(events)) {
        const { universe } = kept.universes.for(evidence);
        const anew = listedAnew(kept, evidence);
        const own = ofPieces(universe);
        expect(own.map(told).sort()).toEqual(anew.faults.map(told).sort());
        expect([...universe.bankChance]).toEqual(anew.bankChance);
        const excluding = (groups: readonly (readonly string[])[]): string[] =>
          groups.map((texts) => [...texts].sort().join(' & ')).sort();
        const groups = new Map<number, string[]>();
        for (const fault of own) {
          groups.set(fault.group, [...(groups.get(fault.group) ?? []), told(fault)]);
        }
        expect(excluding([...groups.values()])).toEqual(
          excluding(anew.groups.map((places) => places.map((k) => told(anew.faults[k]!)))),
        );
      }
    }),
  );
});

test('every table of the faults tells what the faults tell', () => {
  const kept = smallBench(board, {});
  fc.assert(
    fc.property(fc.array(event, { maxLength: 9 }), (events) => {
      for (const evidence of along(events)) checkTables(kept, evidence);
    }),
  );
});

function checkTables(bench: Bench, evidence: Evidence): void {
  const { universe, states } = bench.universes.for(evidence);
  const { faults, lists, bankChance } = universe;
  faults.forEach((fault, id) => {
    const together = fault.bank < 0 ? 0 : bankChance[fault.bank]!;
    expect(fault.id).toBe(id);
    if (fault.members.length > 0) expect(universe.group[id]).toBe(fault.group);
    expect(universe.bank[id]).toBe(fault.bank);
    expect([universe.alone[id], universe.jointly[id]]).toEqual(fault.chance);
    expect(universe.before[id]).toBe((1 - together) * fault.chance[0] + together * fault.chance[1]);
  });
  const there = faults.filter((fault) => fault.members.length > 0 || fault.nets !== undefined);
  const ids = (some: readonly Fault[]): number[] => some.map(({ id }) => id);
  universe.byNet.forEach((held, net) => {
    const on = there.filter(({ branches }) => branches.some(({ a, b }) => a === net || b === net));
    expect(held).toEqual(ids(on));
  });
  universe.ofGroup.forEach((held, group) => {
    expect(held).toEqual(ids(there.filter((fault) => fault.group === group)));
  });
  universe.ofBank.forEach((held, bank) => {
    expect(held).toEqual(ids(there.filter((fault) => fault.bank === bank)));
  });
  for (const part of board.parts) {
    const own = there.filter(({ members }) => members.some((one) => one.part === part.index));
    expect([...new Set(lists.ofPart(part.index))].sort((x, y) => x - y)).toEqual(ids(own));
    expect(lists.opensOf(part.index)).toEqual(ids(own.filter(({ opensPart }) => opensPart)));
  }
  for (const { index } of board.pins) {
    expect(lists.jointsOf(index)).toEqual(ids(there.filter(({ pin }) => pin === index)));
  }
  for (const state of [AS_FOUND, evidence.state]) {
    const { acts } = states.at({ state, stateKey: stateKey(state) });
    for (const fault of there) expect(acts[fault.id]).toBe(actsOn(fault, state) ? 1 : 0);
  }
}

test('what nobody touched keeps its number', () => {
  const { universes } = smallBench(board, {});
  const untouched = board.partNamed.get('R1')!.index;
  const idsOf = (evidence: Evidence): readonly number[] =>
    universes.for(evidence).universe.lists.ofPart(untouched);
  const before = idsOf(NO_EVIDENCE);
  const [pin = 0] = board.partNamed.get('C2')!.pins;
  expect(idsOf({ ...NO_EVIDENCE, state: withLifted(AS_FOUND, [pin]) })).toEqual(before);
});
