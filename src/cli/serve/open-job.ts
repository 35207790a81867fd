/** Opens a job for a caller: in a file, in memory, or a drill on a simulated board. */
import { existsSync } from 'node:fs';
import { SimulatedBench } from '../../bench/simulated-bench.ts';
import { type Diagnostic, InputError } from '../../board/diagnostic.ts';
import { loadBoard } from '../../board/load.ts';
import type { Board } from '../../board/model.ts';
import type { Meter } from '../../circuit/meter.ts';
import { loadShop } from '../../job/shop/shop-file.ts';
import { openBoard } from '../boards.ts';
import type { Context } from '../context.ts';
import { drillWork } from '../drill/drill-work.ts';
import { boardAsFiled, useMeter } from '../engine.ts';
import { doubtsOf, newJobWork, openJobWork, type ReadJob } from '../jobs.ts';
import { memoryWork } from '../memory-work.ts';
import { openMeter, shopMeter } from '../meters.ts';
import { type ShopInForce, shopInForce, useShop } from '../shop.ts';
import type { Work } from '../work.ts';
import type { JsonObject } from './rpc.ts';

/** What `open` takes; it has passed its schema. */
export interface OpenParams {
  readonly board?: string;
  readonly boardText?: string;
  readonly file?: string;
  readonly purpose?: 'repair' | 'refurbish';
  readonly settings?: { readonly shop?: string | JsonObject; readonly meter?: string };
  readonly drill?: {
    readonly seed?: number;
    readonly faults?: number | readonly { readonly part: string; readonly mode: string }[];
  };
}

export interface Opened {
  readonly work: Work;
  readonly isNew: boolean;
  readonly drill?: SimulatedBench;
  readonly warnings: readonly Diagnostic[];
}

/** @throws {InputError} with all that is wrong in what was named */
export async function openJob(context: Context, params: OpenParams): Promise<Opened> {
  const { file, drill, settings = {} } = params;
  const { shop } = settings;
  // Settings given whole stand in place of any file.
  const byFile = typeof shop === 'object' ? 'none' : shop;
  const inShop = byFile === undefined ? context : { ...context, shop: byFile };
  const given = typeof shop === 'object' ? givenShop(shop) : undefined;
  if (file !== undefined && drill !== undefined) {
    return refuse('a drill lives in memory, not in a file', 'leave out "file" or "drill"');
  }
  if (file === undefined) return await openInMemory(inShop, params, given);
  if (params.boardText !== undefined) {
    return refuse('a job file names its board file', 'give "board", the path of one');
  }
  return existsSync(file)
    ? await goOn(inShop, file, params, given)
    : await begin(inShop, file, params, given);
}

function givenShop(settings: JsonObject): ShopInForce {
  // JSON is YAML.
  return { by: 'flag', ...loadShop(JSON.stringify(settings, null, 2), 'settings.shop') };
}

async function goOn(
  context: Context,
  file: string,
  { board, purpose, settings }: OpenParams,
  given: ShopInForce | undefined,
): Promise<Opened> {
  if (settings?.meter !== undefined) {
    refuse(`"${file}" keeps the meter it was opened with`, 'leave out "meter"');
  }
  const { work, read } = await openJobWork(context, file, board);
  try {
    if (purpose !== undefined && purpose !== work.purpose) {
      refuse(`"${file}" was opened for a ${work.purpose}`, 'leave out "purpose"');
    }
    if (given !== undefined) await workBy(context, work.board, given, read);
    return { work, isNew: false, warnings: [...read.warnings, ...(given?.warnings ?? [])] };
  } catch (error) {
    work.close();
    throw error;
  }
}

/** On the board as the job has grown it, and on that of its file, which the next such board is made of. */
async function workBy(
  context: Context,
  board: Board,
  given: ShopInForce,
  { job, derived }: ReadJob,
): Promise<void> {
  const doubts = await doubtsOf(job);
  for (const each of new Set([boardAsFiled(board), board])) {
    await useShop(context, each, given, doubts, job.opening.memory, derived.technician);
  }
}

async function begin(
  context: Context,
  file: string,
  { board: path, purpose = 'repair', settings }: OpenParams,
  given: ShopInForce | undefined,
): Promise<Opened> {
  if (path === undefined) {
    return refuse(`there is no job file "${file}" yet`, 'to make it, give "board" as well');
  }
  const { board, warnings } = await openBoard(context, path);
  const meter = await meterNamed(context, settings?.meter);
  const work = await newJobWork(context, file, board, purpose, meter, given);
  return { work, isNew: true, warnings: [...warnings, ...(given?.warnings ?? [])] };
}

async function openInMemory(
  context: Context,
  params: OpenParams,
  given: ShopInForce | undefined,
): Promise<Opened> {
  const { purpose = 'repair', settings, drill } = params;
  const { board, warnings } = await boardOf(context, params);
  const inForce = given ?? (await shopInForce(context));
  const meter = (await meterNamed(context, settings?.meter)) ?? (await shopMeter(context, inForce));
  useMeter(board, meter);
  await useShop(context, board, inForce);
  const all = [...warnings, ...inForce.warnings];
  if (drill === undefined) {
    return { work: memoryWork(board, board.name, purpose), isNew: true, warnings: all };
  }
  const work = drillWork(board, `Drill, seed ${drill.seed ?? 1}`);
  return { work, isNew: true, warnings: all, drill: benchOf(board, drill, meter) };
}

async function boardOf(
  context: Context,
  { board, boardText }: OpenParams,
): Promise<{ readonly board: Board; readonly warnings: readonly Diagnostic[] }> {
  if (board !== undefined && boardText !== undefined) {
    return refuse('the board is given twice', 'leave out "board" or "boardText"');
  }
  if (boardText !== undefined) return loadBoard(boardText, 'boardText');
  if (board !== undefined) return await openBoard(context, board);
  return refuse('a job is about a board', 'give "board", "boardText", or "file" of a job');
}

async function meterNamed(context: Context, name: string | undefined): Promise<Meter | undefined> {
  return name === undefined ? undefined : await openMeter(context, name);
}

function benchOf(
  board: Board,
  { seed = 1, faults = 1 }: NonNullable<OpenParams['drill']>,
  meter: Meter | undefined,
): SimulatedBench {
  const hidden = typeof faults === 'number' ? { faults } : { faults: 0, these: faults };
  try {
    return new SimulatedBench(board, {
      seed,
      ...hidden,
      ...(meter === undefined ? {} : { meter }),
    });
  } catch (error) {
    if (error instanceof RangeError)
      return refuse(error.message, 'name a part and a failed mode of it');
    throw error;
  }
}

function refuse(message: string, hint: string): never {
  throw new InputError([{ code: 'CANNOT_OPEN', severity: 'error', message, hint }]);
}
