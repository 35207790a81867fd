import fc from 'fast-check';
import { expect, test } from 'vitest';
import { AS_FOUND, stateKey, withLifted } from '../../src/circuit/state.ts';
import type { Bench } from '../../src/faults/diagnose.ts';
import { type Evidence, NO_EVIDENCE } from '../../src/faults/evidence.ts';
import { actsOn, type Fault } from '../../src/faults/fault.ts';
import type { Universe } from '../../src/faults/universe.ts';
import { along, board, event } from './events-of-a-job.ts';
import { listedAnew } from './listed-anew.ts';
import { smallBench } from './random-board.ts';

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
    const here = states.at({ state, stateKey: stateKey(state) });
    const { acts, table } = here;
    for (const fault of there) expect(acts[fault.id]).toBe(actsOn(fault, state) ? 1 : 0);
    const shorts = there.filter(({ id, nets: copper }) => {
      return copper === undefined && here.branchesOf(id).length > 0;
    });
    expect([...table.ids]).toEqual(ids(shorts));
    shorts.forEach(({ id }, k) => {
      const [from, to] = [table.starts[k]!, table.starts[k + 1]!];
      const laidOut = Array.from({ length: to - from }, (_, n) => {
        return [table.a[from + n], table.b[from + n], table.ohms[from + n]];
      });
      expect(laidOut).toEqual(here.branchesOf(id).map(({ a, b, ohms }) => [a, b, ohms]));
    });
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
