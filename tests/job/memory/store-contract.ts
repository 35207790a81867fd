import { describe, expect, it } from 'vitest';
import type { Lesson } from '../../../src/job/memory/lesson.ts';
import { byModel } from '../../../src/job/memory/models.ts';
import type { MemoryStore } from '../../../src/job/memory/store.ts';
import { madeLesson } from './made-lesson.ts';

/** A store and the shop's records, as a test changes them. */
export interface StoreBench {
  /** A run of the program that opens the store; several may be open at once. */
  open(): MemoryStore;
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

/** What any store of the memory holds to. */
export function storeContract(name: string, make: () => StoreBench): void {
  const lesson = (n: number): Lesson => madeLesson(n, { renewed: [`C${n}`] });

  describe(`a memory kept in ${name}`, () => {
    it('holds what the records teach, whichever of several runs asks', async () => {
      const bench = make();
      bench.record('a.yaml', lesson(1));
      bench.record('b.yaml', lesson(2));
      const [one, other] = [bench.open(), bench.open()];
      expect(inOrder(await one.lessons())).toEqual([lesson(1), lesson(2)]);
      expect(inOrder(await other.lessons())).toEqual([lesson(1), lesson(2)]);
    });

    it('reads only what is new or was written on', async () => {
      const bench = make();
      bench.record('a.yaml', lesson(1));
      bench.record('b.yaml', lesson(2));
      await bench.open().lessons();
      bench.read();
      await bench.open().lessons();
      expect(bench.read()).toEqual([]);
      bench.record('b.yaml', lesson(3));
      bench.record('c.yaml', lesson(4));
      expect(inOrder(await bench.open().lessons())).toEqual([lesson(1), lesson(3), lesson(4)]);
      expect(bench.read().sort()).toEqual(['b.yaml', 'c.yaml']);
    });

    it('brought up step by step is the same as made anew', async () => {
      const bench = make();
      for (const n of [1, 2, 3]) {
        bench.record(`${n}.yaml`, lesson(n));
        await bench.open().lessons();
      }
      bench.drop('2.yaml');
      const grown = inOrder(await bench.open().lessons());
      await bench.open().rebuild();
      expect(grown).toEqual([lesson(1), lesson(3)]);
      expect(inOrder(await bench.open().lessons())).toEqual(grown);
    });

    it.each(['gone', 'half', 'changed'] as const)(
      'is made anew when its copy is %s',
      async (how) => {
        const bench = make();
        bench.record('a.yaml', lesson(1));
        await bench.open().lessons();
        bench.damage(how);
        expect(await bench.open().lessons()).toEqual([lesson(1)]);
      },
    );

    it('loses nothing to two runs that come to it at once', async () => {
      const bench = make();
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
      const bench = make();
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
  });
}
