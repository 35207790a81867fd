import { existsSync, mkdirSync, readFileSync, rmSync, utimesSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import fc from 'fast-check';
import { afterEach, describe, expect, it } from 'vitest';
import { NODE_DESK } from '../../../src/job/disk.ts';
import { takeLock } from '../../../src/job/lock.ts';
import { MEMORY_FOLDER } from '../../../src/job/memory/folder-store.ts';
import type { Lesson } from '../../../src/job/memory/lesson.ts';
import { lessonReads } from '../../../src/job/memory/lesson-reads.ts';
import { folderBench, removeFolders } from './folder-bench.ts';
import { foundFailed, madeLesson } from './made-lesson.ts';
import { storeContract } from './store-contract.ts';

afterEach(removeFolders);

storeContract('a folder', folderBench);

describe('a folder of job records', () => {
  it('gets no index where nothing in it teaches', async () => {
    const bench = folderBench();
    writeFileSync(join(bench.folder, 'board.yaml'), 'board: Hoist\n');
    expect(await bench.open().lessons()).toEqual([]);
    expect(existsSync(join(bench.folder, MEMORY_FOLDER))).toBe(false);
  });

  it('is remembered all the same while another run holds the index, which stays as it was', async () => {
    const bench = folderBench();
    bench.record('a.yaml', madeLesson(1));
    await bench.open().lessons();
    const before = readFileSync(bench.index, 'utf8');
    takeLock(bench.index, NODE_DESK);
    bench.record('b.yaml', madeLesson(2));
    expect(await bench.open().lessons()).toHaveLength(2);
    expect(readFileSync(bench.index, 'utf8')).toBe(before);
  });

  it('that was only touched is not read anew', async () => {
    const bench = folderBench();
    bench.record('a.yaml', madeLesson(1));
    await bench.open().lessons();
    bench.read();
    bench.record('a.yaml', madeLesson(1));
    expect(await bench.open().lessons()).toEqual([madeLesson(1)]);
    expect(bench.read()).toEqual([]);
  });

  it('adds up the same, whatever was kept of it before', async () => {
    const steps = fc.array(
      fc.oneof(
        fc.record({ do: fc.constant('record' as const), n: fc.nat(6), board: fc.nat(2) }),
        fc.record({ do: fc.constantFrom('drop' as const, 'touch' as const), n: fc.nat(6) }),
        fc.record({ do: fc.constantFrom('forget' as const, 'recall' as const), n: fc.nat(6) }),
        fc.record({ do: fc.constant('merge' as const), one: fc.nat(2), other: fc.nat(2) }),
        fc.record({ do: fc.constant('ask' as const), halfAfter: fc.constantFrom(20, 200) }),
      ),
      { maxLength: 25 },
    );
    const models = ['Hoist', 'Drive', 'Charger'];
    const made = (n: number, board: number): Lesson =>
      madeLesson(n, {
        board: models[board] ?? '',
        failed: [foundFailed(`R${n}`, 'resistor')],
        units: [`R${n}`],
      });
    await fc.assert(
      fc.asyncProperty(steps, async (says) => {
        const bench = folderBench();
        // So many files that sums are worth keeping.
        for (let k = 0; k < 50; k++) bench.record(`z${k}.yaml`, made(100 + k, k % 3));
        for (const say of says) {
          const store = bench.open();
          if (say.do === 'record') bench.record(`${say.n}.yaml`, made(say.n, say.board));
          else if (say.do === 'drop') rmSync(join(bench.folder, `${say.n}.yaml`), { force: true });
          else if (say.do === 'touch') utimesSync(join(bench.folder, `z${say.n}.yaml`), 9, say.n);
          else if (say.do === 'merge') {
            await store.merge(models[say.one] ?? '', models[say.other] ?? '');
          } else if (say.do === 'ask') {
            const rules = { strength: 20, halfAfter: say.halfAfter };
            const told = await store.past({ board: 'Hoist' }, rules);
            const anew = lessonReads(store);
            expect(told).toEqual(await anew.past({ board: 'Hoist' }, rules));
          } else await store[say.do](`job-${say.n}`);
        }
      }),
      { numRuns: 15 },
    );
  });

  it('passes over half a line in the corrections, and keeps those after it', async () => {
    const bench = folderBench();
    const path = join(bench.folder, MEMORY_FOLDER, 'memory-corrections.jsonl');
    mkdirSync(join(bench.folder, MEMORY_FOLDER));
    writeFileSync(path, '{"forget":"job-1"}\n{"merge":["a",');
    await bench.open().forget('job-2');
    const { forgotten, sameAs } = await bench.open().corrections();
    expect([...forgotten]).toEqual(['job-1', 'job-2']);
    expect(sameAs.size).toBe(0);
  });
});
