import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Board, Part } from '../../../src/board/model.ts';
import { TURNED_MODE } from '../../../src/circuit/turned.ts';
import { fitOrder, pullOrder, trayPlaces } from '../../../src/job/repair/bench-order.ts';
import { identityOf } from '../../../src/job/repair/identity.ts';
import { handled } from '../../../src/job/repair/list.ts';
import { lookAlikes } from '../../../src/job/repair/look-alikes.ts';
import { matchedSets } from '../../../src/job/repair/matched.ts';
import { opposedMarks, orientationOf } from '../../../src/job/repair/orientation.ts';
import { Repaired, SHIPPED, shipped } from './repaired.ts';

const boards = SHIPPED.map(shipped);

/** A board and some of its parts. */
const handfuls = fc.constantFrom(...boards).chain((board) =>
  fc.record({
    board: fc.constant(board),
    parts: fc.uniqueArray(fc.integer({ min: 0, max: board.parts.length - 1 }), { maxLength: 30 }),
  }),
);

/** What is done to parts, one after the other, each as the state of the board allows. */
const jobs = fc.constantFrom(...boards).chain((board) =>
  fc.record({
    board: fc.constant(board),
    acts: fc.array(
      fc.record({
        part: fc.integer({ min: 0, max: board.parts.length - 1 }),
        act: fc.constantFrom('remove', 'replace', 'burnt', 'looks sound', 'shorted', 'refit'),
      }),
      { maxLength: 8 },
    ),
    isRefurbish: fc.boolean(),
  }),
);

function linesOf(board: Board, acts: readonly { part: number; act: string }[]): string[] {
  const off = new Set<string>();
  return acts.flatMap(({ part: index, act }): string[] => {
    const part = board.parts[index] as Part;
    const { name } = part;
    if (act === 'remove' && !off.has(name)) {
      off.add(name);
      return [`remove ${name}`];
    }
    if (act === 'refit' && off.has(name)) {
      off.delete(name);
      return [`refit ${name}`];
    }
    if (act === 'replace') {
      off.delete(name);
      return [`replace ${name}`];
    }
    if (act === 'burnt' || act === 'looks sound') return [`look ${name} ${act}`];
    const pins = [...new Map(part.pins.map((pin) => [board.pins[pin]?.net, pin])).values()];
    if (act !== 'shorted' || !off.has(name) || pins.length < 2) return [];
    const [a, b] = pins.map((pin) => board.pins[pin]?.name);
    return [`off ${name}: ${a} ${b} 0.4 ohm`];
  });
}

describe('the repair list of any job', () => {
  it('names every part that was replaced, taken off, seen bad or suspected, once', () => {
    fc.assert(
      fc.property(jobs, ({ board, acts, isRefurbish }) => {
        const says = linesOf(board, acts);
        const job = new Repaired(board, says, isRefurbish ? 'refurbish' : 'repair');
        const listed = job.list.items.map(({ part }) => part);
        expect(new Set(listed).size).toBe(listed.length);
        const back = new Set(job.list.goesBack.map(({ part }) => part));
        for (const part of job.state.off) {
          const isOpen = job.open.includes(board.parts[part]?.name ?? '');
          expect(back.has(part) !== isOpen, board.parts[part]?.name).toBe(true);
        }
        for (const part of job.state.piece.keys()) expect(listed).toContain(part);
        for (const { part, modes } of job.suspects) {
          const isPiece = (mode: string): boolean => mode !== 'joint open' && mode !== TURNED_MODE;
          if ((modes.find(({ mode }) => isPiece(mode))?.weight ?? 0) < 0.01) continue;
          expect(listed).toContain(part);
        }
        const lastLook = new Map(
          says.filter((say) => say.startsWith('look')).map((say) => [say.split(' ')[1], say]),
        );
        for (const [name = '', say] of lastLook) {
          if (say.endsWith('burnt')) expect([...job.open, ...job.done]).toContain(name);
        }
        for (const item of job.list.items) expect(item.reasons.length).toBeGreaterThan(0);
      }),
      { numRuns: 25 },
    );
  });

  it('is the same when the ticks are left out, but for the ticks', () => {
    fc.assert(
      fc.property(jobs, ({ board, acts }) => {
        const says = linesOf(board, acts);
        const parts = acts.map(({ part }) => board.parts[part]?.name ?? '');
        const ticked = [...says, ...parts.map((name) => `tick ${name} tested`)];
        const bare = ({ list }: Repaired): unknown =>
          list.items.map(({ ticks: _ticks, ...item }) => item);
        expect(bare(new Repaired(board, ticked))).toEqual(bare(new Repaired(board, says)));
      }),
      { numRuns: 10 },
    );
  });

  it('handles each part that comes off or goes on once', () => {
    fc.assert(
      fc.property(jobs, ({ board, acts }) => {
        const parts = handled(new Repaired(board, linesOf(board, acts)).list);
        expect(new Set(parts).size).toBe(parts.length);
      }),
      { numRuns: 10 },
    );
  });
});

describe('parts handled together', () => {
  it('never oppose each other in their marks without being named', () => {
    fc.assert(
      fc.property(handfuls, ({ board, parts }) => {
        const meanings = new Map<string, number[]>();
        for (const index of parts) {
          const { fact } = orientationOf(board, board.parts[index] as Part);
          if (fact.isEndMark !== true || fact.means === undefined) continue;
          meanings.set(fact.means, [...(meanings.get(fact.means) ?? []), index]);
        }
        const named = opposedMarks(board, parts).flatMap((each) => each.parts);
        const isOpposed = meanings.has('plus') && meanings.size > 1;
        expect(named.sort((a, b) => a - b)).toEqual(
          isOpposed ? [...meanings.values()].flat().sort((a, b) => a - b) : [],
        );
      }),
    );
  });

  it('come off and go on each once, a heatsink in one go', () => {
    fc.assert(
      fc.property(handfuls, ({ board, parts }) => {
        for (const order of [pullOrder, fitOrder]) {
          const groups = order(board, parts);
          const sinks = groups.flatMap(({ heatsink }) => heatsink ?? []);
          expect(new Set(sinks).size).toBe(sinks.length);
          expect(groups.flatMap((group) => group.parts).sort((a, b) => a - b)).toEqual(
            parts.toSorted((a, b) => a - b),
          );
        }
      }),
    );
  });

  it('lie in places of their own, and share a row only with the same thing', () => {
    fc.assert(
      fc.property(handfuls, ({ board, parts }) => {
        const places = trayPlaces(board, parts);
        const names = new Set(places.map(({ row, place }) => `${row} ${place}`));
        expect(names.size).toBe(parts.length);
        const keyOf = new Map<number, string>();
        for (const { part, row } of places) {
          const { key } = identityOf(board.parts[part] as Part);
          expect(keyOf.get(row) ?? key).toBe(key);
          keyOf.set(row, key);
        }
      }),
    );
  });

  it('are told apart when they look alike and are not', () => {
    fc.assert(
      fc.property(handfuls, ({ board, parts }) => {
        const told = lookAlikes(board, parts);
        for (const a of parts) {
          for (const b of parts) {
            const [one, other] = [board.parts[a] as Part, board.parts[b] as Part];
            if (one.package === undefined || one.package !== other.package) continue;
            if (identityOf(one).key === identityOf(other).key) continue;
            const groups = told.find((each) => each.groups.flat().includes(a))?.groups ?? [];
            expect(groups.findIndex((group) => group.includes(a))).not.toBe(
              groups.findIndex((group) => group.includes(b)),
            );
          }
        }
      }),
    );
  });

  it('stand in one matched set at most, each with its mates', () => {
    fc.assert(
      fc.property(handfuls, ({ board, parts }) => {
        const sets = matchedSets(board, parts);
        const fitted = sets.flatMap((set) => set.fitted);
        expect(new Set(fitted).size).toBe(fitted.length);
        for (const set of sets) {
          expect(set.fitted.length + set.staying.length).toBeGreaterThan(1);
          for (const part of set.staying) expect(parts).not.toContain(part);
        }
      }),
    );
  });
});
