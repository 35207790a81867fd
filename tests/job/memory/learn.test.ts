import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it, test } from 'vitest';
import { dutyOf } from '../../../src/board/duty.ts';
import { loadBoard } from '../../../src/board/load.ts';
import type { Part } from '../../../src/board/model.ts';
import { Circuit } from '../../../src/circuit/circuit.ts';
import { priorsOf } from '../../../src/faults/priors.ts';
import { DEFAULT_FAULT_SETTINGS } from '../../../src/faults/settings.ts';
import { jobOpening, readEventLine, writeEventLine } from '../../../src/job/event-line.ts';
import type { ActionMinutes } from '../../../src/job/memory/action-minutes.ts';
import { figuresFrom, learntFrom, type MemoryFigures } from '../../../src/job/memory/figures.ts';
import { learn } from '../../../src/job/memory/learn.ts';
import type { Lesson } from '../../../src/job/memory/lesson.ts';
import { byModel, NO_CORRECTIONS } from '../../../src/job/memory/models.ts';
import { DEFAULT_MEMORY_RULES } from '../../../src/job/memory/rules.ts';
import { memorySettings } from '../../../src/job/memory/settings.ts';
import { DEFAULT_BENCH_TIMES } from '../../../src/steps/bench-times.ts';
import { foundFailed, lessonsOf, madeLesson } from './made-lesson.ts';

const { board } = loadBoard(readFileSync('boards/hoist-drive.yaml', 'utf8'), 'hoist-drive.yaml');
const circuit = new Circuit(board);
const listed = priorsOf(circuit, DEFAULT_FAULT_SETTINGS);
const kinds = Object.fromEntries(board.parts.map(({ name, kind }) => [name, kind.name]));
const [free, other] = board.parts.filter(({ bank, index }) => {
  const modes = circuit.models[index]?.modes ?? [];
  return bank === undefined && new Set(modes.map(({ opens }) => opens)).size === 2;
});
if (free === undefined || other === undefined) throw new Error('the board has no such parts');

function learnt(lessons: readonly Lesson[], rules = DEFAULT_MEMORY_RULES) {
  const settings = DEFAULT_FAULT_SETTINGS;
  const models = byModel(lessons, NO_CORRECTIONS);
  const own = models.get('Hoist') ?? [];
  const others = [...models].filter(([name]) => name !== 'Hoist').map(([, held]) => held);
  return learn({ circuit, settings, times: DEFAULT_BENCH_TIMES, rules, own, others });
}

function chanceOf(figures: MemoryFigures | undefined, part: number): number {
  const settings = {
    ...DEFAULT_FAULT_SETTINGS,
    ...(figures === undefined ? {} : { learnt: learntFrom(figures) }),
  };
  const chances = priorsOf(circuit, settings).modes[part] ?? new Float64Array();
  return chances.reduce((sum, p) => sum + p, 0);
}

const fails = (n: number, ...parts: string[]): Lesson =>
  madeLesson(n, {
    failed: parts.map((part) => foundFailed(part, kinds[part] ?? '')),
    units: [...parts].sort(),
  });

describe('what past boards make of the chances', () => {
  it('is nothing without a memory: the chances are the handbooks’, to the last digit', () => {
    expect(learnt([])).toBeUndefined();
    const nothing = learntFrom({ boards: 0 });
    const same = priorsOf(circuit, { ...DEFAULT_FAULT_SETTINGS, learnt: nothing });
    expect(same.modes).toEqual(listed.modes);
    expect(same.joint).toEqual(listed.joint);
    expect(same.banks).toEqual(listed.banks);
  });

  it('nears the share of boards on which a part really failed, however rare the handbooks have it', () => {
    const lessons = Array.from({ length: 200 }, (_, n) =>
      n % 5 < 2 ? fails(n, free.name) : madeLesson(n),
    );
    const slowly = { ...DEFAULT_MEMORY_RULES, halfAfter: 1e6 };
    const chance = chanceOf(learnt(lessons, slowly), free.index);
    expect(chance).toBeGreaterThan(0.34);
    expect(chance).toBeLessThan(0.4);
    expect(chanceOf(learnt(lessons, slowly), other.index)).toBeLessThan(
      chanceOf(undefined, other.index) / 5,
    );
  });

  it('counts boards as people would: on so many of the last forty', () => {
    const lessons = Array.from({ length: 50 }, (_, n) =>
      n % 2 === 0 ? fails(n, free.name) : madeLesson(n),
    );
    expect(learnt(lessons)).toMatchObject({ boards: 40, failed: { [free.name]: 20 } });
  });

  it('lends a model without a history what its kinds did elsewhere, and no more', () => {
    const elsewhere = Array.from({ length: 60 }, (_, n) =>
      madeLesson(n, { board: 'Charger', failed: [foundFailed('X1', free.kind.name)] }),
    );
    const figures = learnt(elsewhere);
    expect(figures?.boards).toBe(0);
    expect(figures?.parts).toBeUndefined();
    expect(chanceOf(figures, free.index)).toBeGreaterThan(3 * chanceOf(undefined, free.index));
  });

  it('lends what parts there for the same did, beyond what their kind did', () => {
    const gate = board.partNamed.get('R2') as Part;
    const bleeder = board.partNamed.get('R1') as Part;
    const expected = {
      kinds: { resistor: 0.2 },
      duties: { [dutyOf(board, gate)]: 0.1, [dutyOf(board, bleeder)]: 0.1 },
      joints: 0.1,
      banks: 0.1,
    };
    const elsewhere = Array.from({ length: 60 }, (_, n) =>
      madeLesson(n, {
        board: 'Charger',
        expected,
        failed: n % 2 === 0 ? [foundFailed('R9', 'resistor', 'open', dutyOf(board, gate))] : [],
      }),
    );
    const figures = learnt(elsewhere);
    const factor = ({ index }: Part): number =>
      chanceOf(figures, index) / chanceOf(undefined, index);
    expect(factor(gate)).toBeGreaterThan(2);
    expect(factor(bleeder)).toBeLessThan(1);
  });

  it('lets parts of this board speak for others of their kind, one that fails for ever no louder', () => {
    const alike = board.parts.filter(({ kind }) => kind.name === 'n-mosfet');
    const [first, ...rest] = alike.map(({ name }) => name);
    const last = alike.at(-1)?.index ?? -1;
    const expected = { kinds: { 'n-mosfet': 0.1 }, duties: {}, joints: 0, banks: 0 };
    const lessons = (parts: readonly (string | undefined)[]): Lesson[] =>
      parts.map((part, n) => ({ ...fails(n, part ?? ''), expected }));
    const many = learnt(lessons(rest.slice(0, 8)));
    const one = learnt(lessons(Array.from({ length: 8 }, () => first)));
    expect(chanceOf(many, last)).toBeGreaterThan(1.5 * chanceOf(one, last));
    expect(chanceOf(many, last)).toBeGreaterThan(1.5 * chanceOf(undefined, last));
  });

  it('ties a driver to the bank it drives, once they went together', () => {
    const driver = board.partNamed.get('U1') as Part;
    const switches = board.parts.filter(({ bank }) => bank === 'upper U');
    const lessons = Array.from({ length: 30 }, (_, n) => {
      const found = n % 3 === 0 ? [...switches.slice(0, 2), driver] : [];
      return madeLesson(n, {
        banks: n % 3 === 0 ? ['upper U'] : [],
        units: n % 3 === 0 ? ['U1', 'bank upper U'] : [],
        failed: found.map(({ name, kind, bank }) => ({
          ...foundFailed(name, kind.name),
          ...(bank === undefined ? {} : { bank }),
        })),
      });
    });
    const figures = learnt(lessons) as MemoryFigures;
    expect(figures.together?.[0]?.slice(0, 2)).toEqual(['U1', 'bank upper U']);
    const priors = priorsOf(circuit, { ...DEFAULT_FAULT_SETTINGS, learnt: learntFrom(figures) });
    const bank = priors.banks.find(({ parts }) => parts.includes(driver.index));
    expect(bank?.parts).toEqual([...switches.map(({ index }) => index), driver.index]);
    expect(bank?.chance).toBeGreaterThan(0.2);
    // What they share is counted once.
    const apart = learnt(lessons.map((lesson) => ({ ...lesson, units: [] })));
    expect(chanceOf(figures, driver.index)).toBeLessThan(chanceOf(apart, driver.index) / 2);
  });

  it('expects fewer further failures where boards carried one each, and no fewer where they carried several', () => {
    const single = Array.from({ length: 60 }, (_, n) => fails(n, n % 2 ? free.name : other.name));
    const several = Array.from({ length: 60 }, (_, n) => fails(n, free.name, other.name));
    const furtherOf = (lessons: readonly Lesson[]): number => learnt(lessons)?.further ?? 1;
    expect(furtherOf(single)).toBeLessThan(0.4);
    expect(furtherOf(single.slice(0, 5))).toBeGreaterThan(furtherOf(single));
    expect(furtherOf(several)).toBeGreaterThan(0.5);
    expect(furtherOf([madeLesson(1)])).toBe(1);
  });

  it('learns the hands of each technician, the less it saw of them the nearer the shop’s', () => {
    const timed = (count: number, minutes: number): ActionMinutes => {
      const log = Math.log(minutes);
      return { look: [count, count * log, count * log * log] };
    };
    const lessons = Array.from({ length: 40 }, (_, n) =>
      n === 0
        ? madeLesson(n, { minutes: timed(3, 4), hands: { Bo: timed(3, 4) } })
        : madeLesson(n, { minutes: timed(5, 1), hands: { Ada: timed(5, 1) } }),
    );
    const figures = learnt(lessons) as MemoryFigures;
    const look = (technician?: string): number =>
      memorySettings(figures, DEFAULT_BENCH_TIMES, technician).steps.times?.look ?? 0;
    expect(look('Ada')).toBeCloseTo(look(), 1);
    expect(look('Bo')).toBeGreaterThan(1.1 * look());
    expect(look('Bo')).toBeLessThan(2);
    expect(look(' ADA ')).toBe(look('Ada'));
    expect(look('Cy')).toBe(look());
    expect(JSON.stringify(figures)).not.toMatch(/Ada|Bo/);
  });

  it('takes what a failure left for what the next one will leave', () => {
    const opens = Array.from({ length: 20 }, (_, n) =>
      madeLesson(n, { failed: [foundFailed(free.name, free.kind.name, 'open')] }),
    );
    const shorts = opens.map((lesson) => ({
      ...lesson,
      failed: [foundFailed(free.name, free.kind.name, 'short')],
    }));
    const of = (lessons: readonly Lesson[]) => {
      const figure = learnt(lessons)?.parts?.[free.name];
      return Array.isArray(figure) ? (figure[0] as number) / (figure[1] as number) : 1;
    };
    expect(of(shorts)).toBeGreaterThan(of(opens));
  });

  it('gives two parts that went together a failure in common, and parts that met by chance none', () => {
    const both = Array.from({ length: 30 }, (_, n) =>
      n % 3 === 0 ? fails(n, free.name, other.name) : madeLesson(n),
    );
    expect(learnt(both)?.together?.[0]?.slice(0, 2)).toEqual([free.name, other.name].sort());
    const always = Array.from({ length: 30 }, (_, n) => fails(n, free.name, other.name));
    expect(learnt(always)?.together).toBeUndefined();
  });

  it('raises a bank’s common failure, and not its parts, where several went at once', () => {
    const inBank = board.parts.find(({ bank }) => bank !== undefined);
    const bank = inBank?.bank ?? '';
    const mates = board.parts.filter((part) => part.bank === bank).slice(0, 2);
    const lessons = Array.from({ length: 20 }, (_, n) =>
      madeLesson(n, {
        banks: [bank],
        failed: mates.map(({ name, kind }) => ({ ...foundFailed(name, kind.name), bank })),
      }),
    );
    const figures = learnt(lessons);
    expect(figures?.banks?.[bank]).toBeGreaterThan(2);
    expect(figures?.parts).toBeUndefined();
  });

  it('forgets slowly: what failed long ago weighs less than what fails now', () => {
    const first = Array.from({ length: 40 }, (_, n) => fails(n, free.name));
    const then = Array.from({ length: 40 }, (_, n) => fails(100 + n, other.name));
    const figures = learnt([...first, ...then], { ...DEFAULT_MEMORY_RULES, halfAfter: 20 });
    expect(chanceOf(figures, other.index)).toBeGreaterThan(2 * chanceOf(figures, free.index));
  });

  it('learns how long work takes, and leaves what was never timed as it is', () => {
    const log = Math.log(2);
    const lessons = Array.from({ length: 100 }, (_, n) =>
      madeLesson(n, { minutes: { look: [5, 5 * log, 5 * log * log] } }),
    );
    const minutes = learnt(lessons)?.minutes ?? {};
    expect(Object.keys(minutes)).toEqual(['look']);
    expect(minutes.look).toBeGreaterThan(1.9);
    expect(minutes.look).toBeLessThan(2.1);
  });
});

describe('laws of the memory', () => {
  it('the order in which lessons come changes nothing', () => {
    fc.assert(
      fc.property(
        lessonsOf(kinds).chain((lessons) =>
          fc.tuple(
            fc.constant(lessons),
            fc.shuffledSubarray(lessons, { minLength: lessons.length }),
          ),
        ),
        ([lessons, shuffled]) => {
          expect(learnt(shuffled)).toEqual(learnt(lessons));
        },
      ),
      { numRuns: 40 },
    );
  });

  it('a forgotten job is a job that was never seen', () => {
    fc.assert(
      fc.property(lessonsOf(kinds), fc.nat(), (lessons, pick) => {
        const gone = lessons[pick % Math.max(1, lessons.length)]?.job ?? '';
        const kept = lessons.filter(({ job }) => job !== gone);
        const corrections = { ...NO_CORRECTIONS, forgotten: new Set([gone]) };
        expect(byModel(lessons, corrections)).toEqual(byModel(kept, NO_CORRECTIONS));
      }),
      { numRuns: 40 },
    );
  });

  it('chances stay chances, whatever was found: finite, above zero, of one part below one', () => {
    fc.assert(
      fc.property(lessonsOf(kinds), (lessons) => {
        const figures = learnt(lessons);
        if (figures === undefined) return;
        const priors = priorsOf(circuit, {
          ...DEFAULT_FAULT_SETTINGS,
          learnt: learntFrom(figures),
        });
        board.parts.forEach(({ index }) => {
          const all = [...(priors.modes[index] ?? []), ...priors.moreOf(index)];
          for (const chance of all) expect(Number.isFinite(chance) && chance >= 0).toBe(true);
          expect(all.reduce((sum, chance) => sum + chance, 0)).toBeLessThan(0.95);
          listed.modes[index]?.forEach((chance, k) => {
            expect((priors.modes[index]?.[k] ?? 0) > 0).toBe(chance > 0);
          });
        });
        for (const { chance } of priors.banks) expect(chance > 0 && chance <= 0.8).toBe(true);
        for (const minutes of Object.values(figures.minutes ?? {})) {
          expect(minutes).toBeGreaterThan(0);
        }
      }),
      { numRuns: 40 },
    );
  });

  it('figures come back from a record as they were, and nothing else is taken for figures', () => {
    fc.assert(
      fc.property(lessonsOf(kinds), (lessons) => {
        const figures = learnt(lessons);
        if (figures === undefined) return;
        expect(figuresFrom(JSON.parse(JSON.stringify(figures)))).toEqual(figures);
      }),
      { numRuns: 20 },
    );
    for (const odd of [undefined, 3, [], {}, { boards: -1 }, { boards: 1, kinds: { a: 0 } }]) {
      expect(figuresFrom(odd)).toBeUndefined();
    }
    expect(figuresFrom({ boards: 2, later: {} })).toBeUndefined();
  });
});

test('a record keeps figures under any names of parts', () => {
  const name = fc.oneof(
    fc.string({ minLength: 1, unit: 'grapheme' }),
    fc.constantFrom('true', 'null', '1', '1e5', 'a: b', 'x,', '{', '# 1', 'R 5 ', '-'),
  );
  fc.assert(
    fc.property(
      fc.dictionary(name, fc.constantFrom(0.5, 3.2, 12), { noNullPrototype: true }),
      (parts) => {
        const open = {
          board: 'Hoist',
          file: 'b.yaml',
          digest: 'd',
          purpose: 'repair' as const,
          memory: { boards: 3, parts },
          version: 1,
        };
        const { text } = writeEventLine({ n: 1, at: '2026-03-02T08:00:00Z', open }, '');
        const line = readEventLine(text, jobOpening);
        if (typeof line === 'string') throw new Error(line);
        expect(line.isIntactAfter('')).toBe(true);
        expect(line.body).toMatchObject({ open: { memory: { boards: 3, parts } } });
      },
    ),
  );
});
