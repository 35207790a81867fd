import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { handKey } from '../../../src/job/memory/hand-key.ts';
import type { Lesson } from '../../../src/job/memory/lesson.ts';
import { LOOKED_BACK } from '../../../src/job/memory/model-sums.ts';
import { byModel, modelName, NO_CORRECTIONS } from '../../../src/job/memory/models.ts';
import { type Past, pastOf } from '../../../src/job/memory/past.ts';
import type { MemoryStore } from '../../../src/job/memory/store.ts';
import { foundFailed, lessonsOf, madeLesson } from './made-lesson.ts';

/** A store and the shop's records, as a test changes them. */
export interface StoreBench<S extends MemoryStore = MemoryStore> {
  /** A run of the program that opens the store; several may be open at once. */
  open(): S;
  /** A job's record comes in, or is written on. */
  record(file: string, lesson: Lesson): void;
  /** A record is deleted. */
  drop(file: string): void;
  /** Files that were read since this was asked last, in order. */
  read(): string[];
  /** The store's own copy of the lessons is destroyed, or half of it is. */
  damage(how: 'gone' | 'half' | 'changed'): void;
}

const inOrder = (lessons: readonly Lesson[]): Lesson[] =>
  [...lessons].sort((x, y) => (x.job < y.job ? -1 : 1));

const RULES = { strength: 20, halfAfter: 200 };

/** Every sum of a past by a name of its own, those of nothing left out. */
function sumsIn(past: Past | undefined): Record<string, number> {
  if (past === undefined) return {};
  const { own, others, timings, hands, last } = past;
  const total = (sums: ReadonlyMap<string, number>) =>
    [...sums.values()].reduce((a, b) => a + b, 0);
  const said: [string, number][] = [
    ['boards', own.boards],
    ['other boards', others.boards],
    ['last', last.boards],
    ['other joints', total(others.joints)],
    ['other banks', total(others.banks)],
    ...Object.entries(last.failed).map(([part, n]): [string, number] => [`last ${part}`, n]),
    ...[...own.joints].map(([joint, n]): [string, number] => [`joint ${joint}`, n]),
    ...[...own.banks].map(([bank, n]): [string, number] => [`bank ${bank}`, n]),
    ...[...own.units].map(([unit, n]): [string, number] => [`unit ${unit}`, n]),
    ...[...own.pairs].map(([pair, n]): [string, number] => [`pair ${pair}`, n]),
  ];
  for (const [whose, tally] of Object.entries({ own, others })) {
    const { kinds, duties, expected } = tally;
    said.push([`${whose} joints expected`, expected.joints]);
    said.push([`${whose} banks expected`, expected.banks]);
    for (const [name, n] of [...expected.kinds, ...expected.duties]) {
      said.push([`${whose} ${name} expected`, n]);
    }
    // Of other models nothing is known part by part.
    const parts = whose === 'own' ? own.parts : new Map();
    for (const [key, { all, short, open }] of [...kinds, ...duties, ...parts]) {
      said.push([`${whose} ${key}`, all], [`${whose} ${key} short`, short]);
      said.push([`${whose} ${key} open`, open]);
    }
  }
  for (const [action, sums] of timings) {
    sums.forEach((sum, at) => {
      said.push([`${action} ${at}`, sum]);
    });
  }
  for (const [name, timed] of hands) {
    for (const [action, [count]] of timed) said.push([`${handKey(name)} ${action}`, count]);
  }
  return Object.fromEntries(said.filter(([, sum]) => Math.abs(sum) > 1e-9));
}

function expectSums(past: Past | undefined, expected: Past): void {
  const [got, wanted] = [sumsIn(past), sumsIn(expected)];
  expect(Object.keys(got).sort()).toEqual(Object.keys(wanted).sort());
  for (const [name, sum] of Object.entries(wanted)) expect(got[name], name).toBeCloseTo(sum, 7);
}

/** What lessons come to, added up plainly. */
function expectedPast(lessons: readonly Lesson[], model: string): Past {
  const models = byModel(lessons, NO_CORRECTIONS);
  const others = [...models].filter(([name]) => name !== model).map(([, held]) => held);
  return pastOf(models.get(model) ?? [], others, RULES);
}

export interface StoreFacts {
  /** What a record taught stays when the record is deleted. */
  readonly outlives?: boolean;
  /** Runs of each property; a store may cost more than a look at a file. */
  readonly runs?: number;
}

/** What any store of the memory holds to. */
export function storeContract(
  name: string,
  make: () => StoreBench | Promise<StoreBench>,
  { outlives = false, runs = 40 }: StoreFacts = {},
): void {
  const lesson = (n: number): Lesson => madeLesson(n, { renewed: [`C${n}`] });

  describe(`a memory kept in ${name}`, () => {
    it('holds what the records teach, whichever of several runs asks', async () => {
      const bench = await make();
      bench.record('a.yaml', lesson(1));
      bench.record('b.yaml', lesson(2));
      const [one, other] = [bench.open(), bench.open()];
      expect(inOrder(await one.lessons())).toEqual([lesson(1), lesson(2)]);
      expect(inOrder(await other.lessons())).toEqual([lesson(1), lesson(2)]);
    });

    it('reads only what is new or was written on', async () => {
      const bench = await make();
      bench.record('a.yaml', lesson(1));
      bench.record('b.yaml', lesson(2));
      await bench.open().lessons();
      bench.read();
      await bench.open().lessons();
      expect(bench.read()).toEqual([]);
      const writtenOn = { ...lesson(3), job: 'job-2' };
      bench.record('b.yaml', writtenOn);
      bench.record('c.yaml', lesson(4));
      expect(inOrder(await bench.open().lessons())).toEqual([lesson(1), writtenOn, lesson(4)]);
      expect(bench.read().sort()).toEqual(['b.yaml', 'c.yaml']);
    });

    it('brought up step by step is the same as made anew', async () => {
      const bench = await make();
      for (const n of [1, 2, 3]) {
        bench.record(`${n}.yaml`, lesson(n));
        await bench.open().lessons();
      }
      bench.drop('2.yaml');
      const grown = inOrder(await bench.open().lessons());
      await bench.open().rebuild();
      expect(grown).toEqual(outlives ? [1, 2, 3].map(lesson) : [lesson(1), lesson(3)]);
      expect(inOrder(await bench.open().lessons())).toEqual(grown);
    });

    it.each(['gone', 'half', 'changed'] as const)(
      'is made anew when its copy is %s',
      async (how) => {
        const bench = await make();
        bench.record('a.yaml', lesson(1));
        await bench.open().lessons();
        bench.damage(how);
        expect(await bench.open().lessons()).toEqual([lesson(1)]);
      },
    );

    it('loses nothing to two runs that come to it at once', async () => {
      const bench = await make();
      const files = Array.from({ length: 12 }, (_, n) => n);
      for (const n of files) bench.record(`${n}.yaml`, lesson(n));
      const stores = [bench.open(), bench.open()];
      const told = stores.flatMap((store, at) => [
        store.lessons(),
        store.forget(`job-${at}`),
        store.merge(`name ${at}`, 'Hoist'),
      ]);
      await Promise.all(told);
      const { forgotten, sameAs } = await bench.open().corrections();
      expect([...forgotten].sort()).toEqual(['job-0', 'job-1']);
      expect([...sameAs.keys()].sort()).toEqual(['name 0', 'name 1']);
      expect(await bench.open().lessons()).toHaveLength(files.length);
    });

    it('corrections outlast it, and can be taken back', async () => {
      const bench = await make();
      bench.record('a.yaml', lesson(1));
      bench.record('b.yaml', madeLesson(2, { board: 'Old name' }));
      const store = bench.open();
      await store.forget('job-1');
      await store.merge('Old name', 'Hoist');
      await store.rebuild();
      const models = async () => byModel(await store.lessons(), await store.corrections());
      expect([...(await models())].map(([model, held]) => [model, held.length])).toEqual([
        ['Hoist', 1],
      ]);
      await store.recall('job-1');
      await store.merge('Old name', 'Old name');
      expect([...(await models()).keys()]).toEqual(['Hoist', 'Old name']);
    });

    it('adds up what its lessons say, in whatever order they come in and are changed', async () => {
      const PARTS = { Q1: 'n-mosfet', D1: 'diode', R1: 'resistor', C1: 'ceramic' };
      await fc.assert(
        fc.asyncProperty(
          lessonsOf(PARTS),
          fc.array(fc.nat(100), { maxLength: 4 }),
          fc.nat(10),
          async (drawn, again, cut) => {
            const bench = await make();
            const now = new Map(drawn.map((each) => [each.job, each]));
            const come = (each: Lesson): void => bench.record(`${each.job}.yaml`, each);
            for (const each of drawn.slice(0, cut)) come(each);
            await bench.open().past({ board: 'Hoist' }, RULES);
            for (const each of drawn.slice(cut)) come(each);
            // Work goes on with some of them: their records end later, and tell something else.
            for (const at of again) {
              const old = drawn[at % Math.max(1, drawn.length)];
              if (old === undefined) continue;
              await bench.open().past({ board: 'Hoist' }, RULES);
              const later = new Date(Date.parse(old.at) + at * 7_200_000).toISOString();
              const changed = { ...old, at: later, failed: [foundFailed('Q1', 'n-mosfet')] };
              now.set(old.job, changed);
              come(changed);
            }
            for (const board of ['Hoist', 'Charger', 'Never seen']) {
              const past = await bench.open().past({ board }, RULES);
              expectSums(past, expectedPast([...now.values()], board));
            }
          },
        ),
        { numRuns: runs },
      );
    }, 120_000);

    it('lists its models, and tells the last boards from all', async () => {
      const bench = await make();
      const many = LOOKED_BACK + 3;
      for (let n = 0; n < many; n++) {
        const failed = n < 5 ? [foundFailed('Q1', 'n-mosfet'), foundFailed('D1', 'diode')] : [];
        bench.record(`${n}.yaml`, madeLesson(n, { revision: '3', failed }));
      }
      bench.record('other.yaml', madeLesson(900, { board: 'Änderung', joints: ['Q1.D'] }));
      const store = bench.open();
      expect(await store.models()).toEqual([
        {
          model: 'Hoist rev 3',
          jobs: many,
          teaching: many,
          fails: [
            { part: 'D1', boards: 5 },
            { part: 'Q1', boards: 5 },
          ],
        },
        { model: 'Änderung', jobs: 1, teaching: 1, fails: [] },
      ]);
      expect(await store.names()).toEqual(['Hoist rev 3', 'Änderung']);
      const past = await store.past({ board: 'Hoist', revision: '3' }, RULES);
      expect(past?.last).toEqual({ boards: LOOKED_BACK, failed: { Q1: 2, D1: 2 } });
      expect(await store.lessonsOf('Hoist rev 3')).toHaveLength(many);
      expect(await store.knows('job-900')).toBe(true);
      expect(await store.knows('job-901')).toBe(false);
    });

    it('counts a forgotten job for nothing, and merged names as one model', async () => {
      const bench = await make();
      const lessons = [
        madeLesson(1, { failed: [foundFailed('Q1', 'n-mosfet', 'short')] }),
        madeLesson(2, { board: 'Hoist old', failed: [foundFailed('Q1', 'n-mosfet', 'open')] }),
        madeLesson(3, { failed: [foundFailed('Q1', 'n-mosfet'), foundFailed('D1', 'diode')] }),
        madeLesson(4, { board: 'Charger', minutes: { look: [2, 1, 0.6] } }),
      ];
      for (const each of lessons) bench.record(`${each.job}.yaml`, each);
      const store = bench.open();
      const past = () => bench.open().past({ board: 'Hoist' }, RULES);
      await past();
      await store.forget('job-3');
      const kept = lessons.filter(({ job }) => job !== 'job-3');
      expectSums(await past(), expectedPast(kept, 'Hoist'));
      await store.merge('Hoist old', 'Hoist');
      const merged = kept.map((each) =>
        each.board === 'Hoist old' ? { ...each, board: 'Hoist' } : each,
      );
      expectSums(await past(), expectedPast(merged, 'Hoist'));
      const asOld = await bench.open().past({ board: 'Hoist old' }, RULES);
      expectSums(asOld, expectedPast(merged, modelName({ board: 'Hoist' })));
      await store.recall('job-3');
      await store.merge('Hoist old', 'Hoist old');
      expectSums(await past(), expectedPast(lessons, 'Hoist'));
      await store.rebuild();
      expectSums(await past(), expectedPast(lessons, 'Hoist'));
    });

    it('goes by names that lead to names, and stops where they lead in a ring', async () => {
      const bench = await make();
      bench.record('a.yaml', madeLesson(1, { board: 'A' }));
      const store = bench.open();
      await store.lessons();
      await store.merge('A', 'B');
      await store.merge('B', 'C');
      expect((await store.models()).map(({ model }) => model)).toEqual(['C']);
      await store.merge('C', 'A');
      expect((await store.models()).map(({ model }) => model)).toEqual(['C']);
    });
  });
}
