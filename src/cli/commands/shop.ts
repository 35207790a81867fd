import { existsSync, statSync } from 'node:fs';
import { dirname } from 'node:path';
import { InputError } from '../../board/diagnostic.ts';
import { harmless } from '../../board/shown-text.ts';
import { openJob } from '../../job/record.ts';
import { printShop } from '../../job/shop/print-shop.ts';
import { type ShopView, shopLines, viewShop } from '../../report/shop.ts';
import { wrap } from '../../report/wrap.ts';
import type { CommandResult, Run } from '../context.ts';
import { printDiagnostics } from '../diagnostics.ts';
import { EXIT } from '../exit.ts';
import { writeWhole } from '../files.ts';
import { isJob } from '../job-files.ts';
import { doubtsOf } from '../jobs.ts';
import { shopMeter } from '../meters.ts';
import { pricesOf } from '../prices.ts';
import { type ShopInForce, shopInForce } from '../shop.ts';

/** Lists the settings in force and where each comes from, or writes a file to start from. */
export const run: Run = async (context, { words, options }) => {
  const [place = '.'] = words;
  if (typeof options.write === 'string') return write(options.write, options.overwrite === true);
  if (options.overwrite === true) refuse('--overwrite is for --write only');
  const inForce = withDatabase(await shopInForce(context, folderIn(place)));
  // What the file names is looked at here, so that a slip in it shows before a job needs it.
  const meter = await shopMeter(context, inForce);
  const prices = await pricesOf(context, inForce);
  printDiagnostics(context, [...inForce.warnings, ...prices.warnings]);
  const view = isJob(place)
    ? await viewForJob(inForce, place)
    : viewShop(inForce.shop, inForce, inForce.lines);
  return {
    exit: EXIT.ok,
    document: { ...view, ...(meter === undefined ? {} : { meter: meter.name }) },
    text: (style) => shopLines(view, style),
  };
};

/** A database that the call names is shown where one of the settings file would be. */
function withDatabase(inForce: ShopInForce): ShopInForce {
  const { shop, database } = inForce;
  if (database === undefined) return inForce;
  return { ...inForce, shop: { ...shop, memory: { ...shop.memory, database } } };
}

/** In a job the doubts are those it was opened with, whatever the file says by now. */
async function viewForJob({ shop, lines, ...found }: ShopInForce, path: string): Promise<ShopView> {
  const doubts = await doubtsOf(openJob(path));
  const others = [...lines].filter(([setting]) => !setting.startsWith('doubts.'));
  return { job: path, ...viewShop({ ...shop, doubts }, found, new Map(others)) };
}

/** A job stands for the folder it lies in. */
function folderIn(place: string): string {
  if (!existsSync(place)) refuse(`"${place}": there is no such file or folder`);
  return statSync(place).isDirectory() ? place : dirname(place);
}

function write(path: string, overwrite: boolean): CommandResult {
  writeWhole(path, printShop(), overwrite);
  const told = `Settings written: ${harmless(path)}. They are the defaults: change what your shop does otherwise. As trace-short.yaml in a folder it holds for the jobs in it and below.`;
  return { exit: EXIT.ok, document: { written: path }, text: ({ width }) => wrap(told, width) };
}

function refuse(message: string): never {
  throw new InputError([{ code: 'USAGE', severity: 'error', message }]);
}
