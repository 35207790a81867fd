import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, describe, expect, it } from 'vitest';
import { NODE_DESK } from '../../../src/job/disk.ts';
import { takeLock } from '../../../src/job/lock.ts';
import { MEMORY_FOLDER } from '../../../src/job/memory/folder-store.ts';
import { folderBench, removeFolders } from './folder-bench.ts';
import { madeLesson } from './made-lesson.ts';
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
