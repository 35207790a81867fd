import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, join } from 'node:path';
import { afterEach, describe, expect, it } from 'vitest';
import { NODE_DESK } from '../../../src/job/disk.ts';
import { takeLock } from '../../../src/job/lock.ts';
import { folderStore, MEMORY_FOLDER } from '../../../src/job/memory/folder-store.ts';
import type { Lesson } from '../../../src/job/memory/lesson.ts';
import { madeLesson } from './made-lesson.ts';
import { type StoreBench, storeContract } from './store-contract.ts';

const folders: string[] = [];
afterEach(() => {
  for (const folder of folders.splice(0)) rmSync(folder, { recursive: true });
});

function folderBench(): StoreBench & { readonly folder: string; readonly index: string } {
  const folder = mkdtempSync(join(tmpdir(), 'memory-'));
  folders.push(folder);
  const index = join(folder, MEMORY_FOLDER, 'memory-index.jsonl');
  let read: string[] = [];
  let clock = 1e9;
  return {
    folder,
    index,
    open: () =>
      folderStore({
        folder,
        list: () => readdirSync(folder).filter((name) => name.endsWith('.yaml')),
        teach: async (path) => {
          read.push(basename(path));
          const text = readFileSync(path, 'utf8');
          return text.startsWith('{') ? (JSON.parse(text) as Lesson) : undefined;
        },
      }),
    record: (file, lesson) => {
      writeFileSync(join(folder, file), JSON.stringify(lesson));
      clock += 1;
      utimesSync(join(folder, file), clock, clock);
    },
    drop: (file) => rmSync(join(folder, file)),
    read: () => {
      const seen = read;
      read = [];
      return seen;
    },
    damage: (how) => {
      if (how === 'gone') return rmSync(index);
      const text = readFileSync(index, 'utf8');
      writeFileSync(
        index,
        how === 'half' ? text.slice(0, text.length / 2) : text.replace('"C1"', '"C9"'),
      );
    },
  };
}

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
