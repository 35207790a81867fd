import { mkdtempSync, readdirSync, readFileSync, rmSync, utimesSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, join } from 'node:path';
import {
  type FolderStore,
  folderStore,
  MEMORY_FOLDER,
} from '../../../src/job/memory/folder-store.ts';
import type { Lesson } from '../../../src/job/memory/lesson.ts';
import type { StoreBench } from './store-contract.ts';

const folders: string[] = [];

/** For after each test. */
export function removeFolders(): void {
  for (const folder of folders.splice(0)) rmSync(folder, { recursive: true });
}

/** A bench whose records are lessons as JSON. */
export function folderBench(): StoreBench<FolderStore> & {
  readonly folder: string;
  readonly index: string;
} {
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
