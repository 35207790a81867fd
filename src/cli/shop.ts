import { dirname } from 'node:path';
import { type Diagnostic, InputError } from '../board/diagnostic.ts';
import type { Board } from '../board/model.ts';
import type { MemoryFigures } from '../job/memory/figures.ts';
import {
  DEFAULT_SHOP,
  type Doubts,
  faultSettingsOf,
  type Shop,
  stepSettingsOf,
} from '../job/shop/shop.ts';
import type { WorkbenchOptions } from '../steps/advise.ts';
import type { BenchTimes } from '../steps/bench-times.ts';
import type { Context } from './context.ts';
import { useRules, useSettings } from './engine.ts';
import { readText } from './files.ts';
import { type ShopPlace, shopPlace } from './shop-place.ts';

/** The settings in force at a place. */
export interface ShopInForce extends ShopPlace {
  readonly shop: Shop;
  /** Line of each figure that the file gives, by its path in the file. */
  readonly lines: ReadonlyMap<string, number>;
  readonly warnings: readonly Diagnostic[];
}

const read = new Map<string, ShopInForce>();

/**
 * The settings in force for a folder, by the rules of {@link shopPlace}.
 * @throws {InputError} when the file cannot be read, or with everything wrong in it
 */
export async function shopInForce(context: Context, folder = '.'): Promise<ShopInForce> {
  const place = shopPlace(context, folder);
  const { file } = place;
  if (file === undefined) return { ...place, shop: DEFAULT_SHOP, lines: new Map(), warnings: [] };
  const held = read.get(file);
  if (held !== undefined) return { ...held, ...place };
  const { loadShop } = await import('../job/shop/shop-file.ts');
  try {
    const made = { ...place, ...loadShop(await readText(file, context), file) };
    read.set(file, made);
    return made;
  } catch (error) {
    throw error instanceof InputError ? withWayOut(error, place) : error;
  }
}

/** Work at the bench need not wait until a file is mended that nobody named in the call. */
function withWayOut(error: InputError, { by, file }: ShopPlace): InputError {
  if (by === 'flag') return error;
  const wayOut: Diagnostic = {
    code: 'SHOP_FILE',
    severity: 'error',
    message: `the settings in "${file}" cannot be used`,
    hint: 'mend them, or work by the defaults for now: --shop none',
  };
  return new InputError([...error.diagnostics, wayOut]);
}

/**
 * Works on a board as the shop does; without a settings file nothing changes.
 * @param doubts those a job was opened with, in place of the shop's own
 * @param memory what past boards taught when the job was opened
 * @param technician who works, as the job's record has it
 */
export async function useShop(
  context: Context,
  board: Board,
  inForce: ShopInForce,
  doubts: Doubts = inForce.shop.doubts,
  memory?: MemoryFigures,
  technician?: string,
): Promise<void> {
  const { shop } = inForce;
  useRules(board, shop);
  if (shop === DEFAULT_SHOP && doubts === DEFAULT_SHOP.doubts && memory === undefined) return;
  const suspicion = await suspicionOf(context, board, inForce);
  const usual = stepSettingsOf(shop, doubts);
  const past = memory === undefined ? undefined : await pastOf(memory, shop.benchTimes, technician);
  useSettings(board, {
    faults: { ...faultSettingsOf(doubts), ...past?.faults },
    steps: { ...usual, ...past?.steps, ...(suspicion === undefined ? {} : { suspicion }) },
  });
}

async function pastOf(
  memory: MemoryFigures,
  times: BenchTimes,
  technician: string | undefined,
): Promise<WorkbenchOptions> {
  const { memorySettings } = await import('../job/memory/settings.ts');
  return memorySettings(memory, times, technician);
}

async function suspicionOf(
  context: Context,
  board: Board,
  inForce: ShopInForce,
): Promise<{ readonly parts: ReadonlySet<number>; readonly from: number } | undefined> {
  const { upTo, kinds, from } = inForce.shop.policies.replaceOnSuspicion;
  if (upTo === undefined) return undefined;
  const { pricesIfRead } = await import('./prices.ts');
  const priceOf = (await pricesIfRead(context, inForce))?.priceOf;
  if (priceOf === undefined) return undefined;
  const cheap = board.parts.filter((part) => {
    const price = kinds.includes(part.kind.name) ? priceOf(part)?.price : undefined;
    return price !== undefined && price <= upTo;
  });
  return { parts: new Set(cheap.map(({ index }) => index)), from };
}

/** Address of the database that holds the memory; undefined where the records alone do. */
export function databaseOf({ database, shop }: ShopInForce): string | undefined {
  return database ?? shop.memory.database;
}

/** The folder whose settings hold for a job. */
export function folderOf(jobPath: string): string {
  return dirname(jobPath);
}
