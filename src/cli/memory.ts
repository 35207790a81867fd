import { statSync } from 'node:fs';
import { dirname, join, relative, resolve } from 'node:path';
import { InputError } from '../board/diagnostic.ts';
import type { Board } from '../board/model.ts';
import { meterFrom } from '../circuit/meter-figures.ts';
import { type DerivedJob, deriveJob } from '../job/derive.ts';
import type { ShopStore } from '../job/memory/database/shop-store.ts';
import type { MemoryFigures } from '../job/memory/figures.ts';
import { type FolderStore, folderStore } from '../job/memory/folder-store.ts';
import { learnOf } from '../job/memory/learn.ts';
import { type JobWords, type Lesson, lessonOf } from '../job/memory/lesson.ts';
import type { MemoryStore } from '../job/memory/store.ts';
import { openJob, type RawJob } from '../job/record.ts';
import { boardPathOf } from './board-path.ts';
import { openBoard } from './boards.ts';
import type { Context } from './context.ts';
import { healthyPartsOf, useMeter, workbenchFor } from './engine.ts';
import { foldersIn, looksLikeJob, yamlNames } from './job-files.ts';
import { say } from './print.ts';
import { useReference } from './reference/use-reference.ts';
import { databaseOf, type ShopInForce } from './shop.ts';

/** So many records take long enough to say so. */
const MANY_RECORDS = 100;

/** The memory that holds for jobs of a folder, by the shop's settings. */
export async function memoryOf(
  context: Context,
  inForce: ShopInForce,
  folder: string,
): Promise<MemoryStore> {
  return databaseOf(inForce) === undefined
    ? folderMemory(context, inForce, folder)
    : sharedMemoryOf(context, inForce, folder);
}

/** @throws {InputError} when the settings name no database */
export async function sharedMemoryOf(
  context: Context,
  inForce: ShopInForce,
  folder: string,
): Promise<ShopStore> {
  const { sharedMemory } = await import('./shop-database.ts');
  const local = folderMemory(context, inForce, folder);
  return sharedMemory(context, inForce, { local, folder: recordsFolder(inForce, folder) });
}

function folderMemory(context: Context, inForce: ShopInForce, folder: string): FolderStore {
  const isDeep = inForce.shop.memory.records !== undefined;
  const home = recordsFolder(inForce, folder);
  const teacher = new Teacher(context, inForce);
  return folderStore({
    folder: home,
    list: () => filesIn(home, isDeep),
    teach: (path) => teacher.lesson(path),
    onReading: (count) => {
      if (count >= MANY_RECORDS) {
        say(context, [
          `Reading ${count} job records for what they teach; next time only new ones.`,
        ]);
      }
    },
  });
}

/** Where the job records lie that teach, for jobs of a folder. */
export function recordsFolder({ shop, file = '.' }: ShopInForce, folder: string): string {
  const { records } = shop.memory;
  return records === undefined
    ? folder
    : relative('.', join(dirname(resolve(file)), records)) || '.';
}

/** What past boards teach of this one; undefined where the memory is off or has nothing to say. */
export async function rememberedOf(
  context: Context,
  board: Board,
  inForce: ShopInForce,
  folder: string,
): Promise<MemoryFigures | undefined> {
  const { use, handbooksCount, halfAfter } = inForce.shop.memory;
  if (!use) return undefined;
  const rules = { strength: handbooksCount, halfAfter };
  const { name, revision } = board;
  const past = await orWayOut(inForce, async () => {
    const store = await memoryOf(context, inForce, folder);
    return store.past({ board: name, revision }, rules);
  });
  if (past === undefined) return undefined;
  const { circuit, settings } = workbenchFor(board).bench;
  return learnOf(past, { circuit, settings, times: inForce.shop.benchTimes, rules });
}

/** Work at the bench need not wait until somebody has mended the shop's database. */
async function orWayOut<T>(inForce: ShopInForce, work: () => Promise<T>): Promise<T> {
  try {
    return await work();
  } catch (error) {
    if (!(error instanceof InputError) || databaseOf(inForce) === undefined) throw error;
    const wayOut = {
      code: 'SHOP_DATABASE',
      severity: 'error',
      message: 'the job was not opened, as it would start without what past boards taught',
      hint: 'have that mended, or open it by the defaults for now: --shop none',
    } as const;
    throw new InputError([...error.diagnostics, wayOut]);
  }
}

/** YAML files as seen from the folder. */
function filesIn(home: string, isDeep: boolean): string[] {
  if (statSync(home, { throwIfNoEntry: false })?.isDirectory() !== true) return [];
  return foldersIn(home, isDeep).flatMap((folder) => {
    const below = relative(home, folder);
    return yamlNames(folder).map((name) => (below === '' ? name : join(below, name)));
  });
}

/** What the record has of its customer. */
function wordsOf({ intake: { customer, arrived } }: DerivedJob): JobWords {
  return {
    customer: customer.map(({ text }) => text),
    arrived: arrived.map(({ text }) => text),
  };
}

/** Reads job records with their boards; boards are read once for each meter. */
class Teacher {
  readonly #context: Context;
  readonly #inForce: ShopInForce;
  readonly #boards = new Map<string, Promise<Board | undefined>>();

  constructor(context: Context, inForce: ShopInForce) {
    this.#context = context;
    this.#inForce = inForce;
  }

  /** A record that cannot be read, or whose board is not to be had, teaches nothing. */
  async lesson(path: string): Promise<Lesson | undefined> {
    if (!looksLikeJob(path)) return undefined;
    try {
      const job = openJob(path);
      const board = await this.#boardOf(job);
      if (board === undefined) return undefined;
      const { thresholds, memory } = this.#inForce.shop;
      const derived = deriveJob(board, job.events, path);
      const lesson = lessonOf(board, job, derived, {
        bench: workbenchFor(board).bench,
        healthy: healthyPartsOf(board),
        awayAfter: thresholds.awayAfter,
      });
      return memory.customersWords ? { ...lesson, words: wordsOf(derived) } : lesson;
    } catch (error) {
      if (error instanceof InputError) return undefined;
      throw error;
    }
  }

  #boardOf(job: RawJob): Promise<Board | undefined> {
    const path = boardPathOf(job);
    const key = `${path}\n${JSON.stringify([job.opening.meter, job.opening.reference])}`;
    const held = this.#boards.get(key) ?? this.#read(path, job);
    this.#boards.set(key, held);
    return held;
  }

  async #read(path: string, { opening }: RawJob): Promise<Board | undefined> {
    try {
      const { board } = await openBoard(this.#context, path);
      useMeter(board, meterFrom(opening.meter));
      await useReference(board, opening.reference);
      return board;
    } catch (error) {
      if (error instanceof InputError) return undefined;
      throw error;
    }
  }
}
