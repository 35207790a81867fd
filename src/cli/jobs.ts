import { existsSync } from 'node:fs';
import { dirname, relative, resolve } from 'node:path';
import { type Diagnostic, InputError } from '../board/diagnostic.ts';
import type { Board } from '../board/model.ts';
import type { Meter } from '../circuit/meter.ts';
import { meterFrom } from '../circuit/meter-figures.ts';
import { admit, type DerivedJob, deriveJob, extendJob } from '../job/derive.ts';
import { checkBoard } from '../job/match-board.ts';
import type { MemoryFigures } from '../job/memory/figures.ts';
import { printSay } from '../job/print-say.ts';
import {
  append,
  closeJob,
  continueJob,
  createJob,
  type JobHandle,
  type JobPurpose,
  openJob,
  type RawJob,
} from '../job/record.ts';
import { DEFAULT_SHOP, type Doubts } from '../job/shop/shop.ts';
import type { DoubtFigures } from '../job/shop/shop-figures.ts';
import { checkStage } from '../job/stage-refusals.ts';
import { boardPathOf } from './board-path.ts';
import { openBoard } from './boards.ts';
import type { Context } from './context.ts';
import { boardAsFiled, boardAsPlaced, boardAsSeen, useMeter } from './engine.ts';
import { shopMeter } from './meters.ts';
import { type GoodLines, useReference } from './reference/use-reference.ts';
import { folderOf, type ShopInForce, shopInForce, useShop } from './shop.ts';
import { keeperOf } from './standing.ts';
import type { RecordedLine, Work } from './work.ts';

/** A job with its board, read but not locked. */
export interface ReadJob {
  readonly board: Board;
  readonly job: RawJob;
  readonly derived: DerivedJob;
  /** The settings that hold for it. */
  readonly inForce: ShopInForce;
  /** What is odd: a torn last line, a changed board file, lines that fit it no more. */
  readonly warnings: readonly Diagnostic[];
}

/**
 * Reads a job and the board it is about.
 * @param boardPath when given, used in place of the file the job names
 * @throws {InputError}
 */
export async function readJob(
  context: Context,
  path: string,
  boardPath?: string,
): Promise<ReadJob> {
  return withBoard(
    context,
    orRefuse(path, () => openJob(path)),
    boardPath,
  );
}

/**
 * Opens a job for writing; the lock is held until `close`.
 * @throws {InputError} as {@link readJob}, and when another run is writing the job
 */
export async function openJobWork(
  context: Context,
  path: string,
  boardPath?: string,
): Promise<{ readonly work: Work; readonly read: ReadJob }> {
  const handle = orRefuse(path, () => continueJob(path));
  try {
    const read = await withBoard(context, handle.job, boardPath);
    return { work: workOn(handle, read.board, read.derived), read };
  } catch (error) {
    closeJob(handle);
    throw error;
  }
}

/**
 * Makes a job for a board. The board file is named as seen from the job's folder, so that the two
 * may be moved together. Kept in it: the shop's doubts, where they differ from the defaults, and what past
 * boards taught.
 * @param meter kept in the job with all its figures; none: the shop's, else a common handheld
 * @param settings those to work by; none: those in force for the job's folder
 * @param reference what a good board of the same kind read
 * @throws {InputError}
 */
export async function newJobWork(
  context: Context,
  path: string,
  board: Board,
  purpose: JobPurpose,
  meter?: Meter,
  settings?: ShopInForce,
  reference?: GoodLines,
): Promise<Work> {
  const inForce = settings ?? (await shopInForce(context, folderOf(path)));
  const kept = meter ?? (await shopMeter(context, inForce));
  useMeter(board, kept);
  await useShop(context, board, inForce);
  const memory = await memoryToKeep(context, board, inForce, folderOf(path));
  if (memory !== undefined) await useShop(context, board, inForce, inForce.shop.doubts, memory);
  const doubts = await doubtsToKeep(inForce);
  await useReference(board, reference);
  const file = relative(dirname(resolve(path)), resolve(board.file));
  const handle = createJob(
    path,
    { ...board, file },
    {
      purpose,
      ...(kept === undefined ? {} : { meter: kept }),
      ...(doubts === undefined ? {} : { doubts }),
      ...(memory === undefined ? {} : { memory }),
      ...(reference === undefined ? {} : { reference }),
    },
  );
  return workOn(handle, board, deriveJob(board, []));
}

async function memoryToKeep(
  context: Context,
  board: Board,
  inForce: ShopInForce,
  folder: string,
): Promise<MemoryFigures | undefined> {
  if (!inForce.shop.memory.use) return undefined;
  const { rememberedOf } = await import('./memory.ts');
  return rememberedOf(context, board, inForce, folder);
}

async function doubtsToKeep({ shop }: ShopInForce): Promise<DoubtFigures | undefined> {
  if (shop === DEFAULT_SHOP) return undefined;
  const { changedDoubts } = await import('../job/shop/shop-figures.ts');
  return changedDoubts(shop);
}

/** A name for a new job beside the others, after the board's: `hoist-drive-job.yaml`. */
export function freeJobName(boardPath: string): string {
  const stem = boardPath.replace(/^.*[\\/]/, '').replace(/\.ya?ml$/i, '');
  for (let n = 1; ; n += 1) {
    const name = n === 1 ? `${stem}-job.yaml` : `${stem}-job-${n}.yaml`;
    if (!existsSync(name)) return name;
  }
}

/** A file that is no job from its first line on is called that once, not line by line. */
function orRefuse<T>(path: string, open: () => T): T {
  try {
    return open();
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    const [first] = error.diagnostics;
    if (first?.code !== 'NOT_AN_EVENT' || first.place?.line !== 1) throw error;
    const diagnostic: Diagnostic = {
      code: 'NOT_A_JOB',
      severity: 'error',
      message: `"${path}" is no job record`,
      hint: `if it is a board file, open a job on it: trace-short start ${path}`,
    };
    throw new InputError([diagnostic]);
  }
}

async function withBoard(
  context: Context,
  job: RawJob,
  boardPath: string | undefined,
): Promise<ReadJob> {
  const path = boardPath ?? boardPathOf(job);
  const { board } = await openBoard(context, path);
  useMeter(board, meterFrom(job.opening.meter));
  const inForce = await shopInForce(context, folderOf(job.path));
  const derived = deriveJob(board, job.events, job.path);
  const { technician } = derived;
  await useShop(context, board, inForce, await doubtsOf(job), job.opening.memory, technician);
  await useReference(board, job.opening.reference);
  const warnings = [...job.warnings, ...checkBoard(job, board)];
  return { board: boardAsPlaced(board, derived), job, derived, inForce, warnings };
}

/** What a job concludes follows from the doubts it was opened with, not from those of today. */
export async function doubtsOf(job: RawJob): Promise<Doubts> {
  const { doubts } = job.opening;
  if (doubts === undefined) return DEFAULT_SHOP.doubts;
  const { doubtsFrom } = await import('../job/shop/shop-file.ts');
  return doubtsFrom(doubts) ?? DEFAULT_SHOP.doubts;
}

function workOn(handle: JobHandle, known: Board, start: DerivedJob): Work {
  let derived = start;
  // What is said from here on changes the board again.
  const board = boardAsFiled(known);
  const { purpose } = handle.job.opening;
  return {
    get board() {
      return boardAsPlaced(board, derived);
    },
    label: handle.path,
    purpose,
    get derived() {
      return derived;
    },
    record(lines) {
      const says = admitAll(board, derived, purpose, lines);
      const recorded: RecordedLine[] = [];
      for (const say of says) {
        const event = append(handle, say);
        derived = extendJob(board, derived, event, handle.path);
        recorded.push({ n: event.n, say });
      }
      return recorded;
    },
    close: () => closeJob(handle),
  };
}

/** Reads every line before any is written, each against the job as the ones before leave it. */
export function admitAll(
  board: Board,
  derived: DerivedJob,
  purpose: JobPurpose,
  lines: readonly string[],
): string[] {
  let after = derived;
  return lines.map((text, index) => {
    const place = lines.length > 1 ? { file: 'line', line: index + 1, text } : undefined;
    const admitted = admit(board, after, text, place);
    const seen = boardAsSeen(board, after);
    checkStage(keeperOf(seen, after, purpose), admitted, text, place);
    const say = printSay(seen, admitted);
    const n = after.history.events.length + 2;
    after = extendJob(board, after, { n, at: '', say, line: n });
    return say;
  });
}
