import { existsSync, statSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { isMeterPlace } from '../bench/meter/place.ts';
import { meterCatalogue } from '../bench/meter-catalogue.ts';
import { type Diagnostic, InputError } from '../board/diagnostic.ts';
import { nearest } from '../board/nearest.ts';
import type { Meter } from '../circuit/meter.ts';
import { loadMeters } from '../circuit/meter-file.ts';
import type { Arguments, Context } from './context.ts';
import { readText } from './files.ts';
import type { ShopInForce } from './shop.ts';

/**
 * The meter that `--meter` names; undefined when it was not given.
 * @throws {InputError} as {@link openMeter}
 */
export async function meterOption(
  context: Context,
  options: Arguments['options'],
): Promise<Meter | undefined> {
  return typeof options.meter === 'string' ? await openMeter(context, options.meter) : undefined;
}

/**
 * The meter of a shop's new jobs; undefined where its settings name none. A file is looked for from
 * the settings file's folder.
 * @throws {InputError} as {@link openMeter}
 */
export async function shopMeter(
  context: Context,
  { shop, file }: Pick<ShopInForce, 'shop' | 'file'>,
): Promise<Meter | undefined> {
  const { meter } = shop;
  if (meter === undefined) return undefined;
  const folder = dirname(file ?? '.');
  const [path = meter] = /^.*?\.ya?ml/i.exec(meter) ?? [];
  const isBeside = path.endsWith('ml') && isFile(join(folder, path));
  return await openMeter(context, isBeside ? join(folder, meter) : meter);
}

/**
 * A meter by its name in the catalogue, by a file that holds one, or by `FILE:NAME`.
 * @throws {InputError} when there is none such, or with everything wrong in the file
 */
export async function openMeter(context: Context, word: string): Promise<Meter> {
  if (isMeterPlace(word)) {
    refuse({
      code: 'METER_PLACE',
      severity: 'error',
      message: `"${word}" says where a meter answers, not what its figures are`,
      hint: `name its figures here, as trace-short meter lists them; listen to it with: trace-short guide JOB --meter ${word}`,
    });
  }
  const shipped = meterNamed(meterCatalogue(), word);
  if (shipped !== undefined) return shipped;
  if (isFile(word)) return onlyMeter(await metersIn(context, word), word);
  for (let at = word.indexOf(':'); at > 0; at = word.indexOf(':', at + 1)) {
    const [path, name] = [word.slice(0, at), word.slice(at + 1).trim()];
    if (!isFile(path)) continue;
    const meters = await metersIn(context, path);
    return meterNamed(meters, name) ?? refuseName(name, meters, `in "${path}"`);
  }
  // Reading what looks like a file says best why it cannot be read.
  if (/[\\/]|\.ya?ml$/i.test(word)) await readText(word, context);
  return refuseName(word, meterCatalogue(), 'in the catalogue');
}

async function metersIn(context: Context, path: string): Promise<ReadonlyMap<string, Meter>> {
  return loadMeters(await readText(path, context), path);
}

/** Case, and hyphens for blanks, make no difference: a name with blanks needs quotes in a shell. */
function meterNamed(meters: ReadonlyMap<string, Meter>, word: string): Meter | undefined {
  const loose = (name: string): string => name.toLowerCase().replace(/[\s-]+/g, ' ');
  const exact = meters.get(word);
  return exact ?? [...meters.values()].find(({ name }) => loose(name) === loose(word));
}

function onlyMeter(meters: ReadonlyMap<string, Meter>, path: string): Meter {
  const [only, second] = meters.values();
  if (only !== undefined && second === undefined) return only;
  return refuse({
    code: 'WHICH_METER',
    severity: 'error',
    message: `"${path}" holds ${meters.size} meters`,
    hint: `name one: "${path}:NAME", where NAME is ${[...meters.keys()].join('; ')}`,
  });
}

function refuseName(word: string, meters: ReadonlyMap<string, Meter>, where: string): never {
  const near = nearest(word, meters.keys());
  return refuse({
    code: 'UNKNOWN_METER',
    severity: 'error',
    message: `there is no meter "${word}" ${where}`,
    hint:
      near === undefined
        ? `there are: ${[...meters.keys()].join('; ')}`
        : `did you mean "${near}"?`,
  });
}

function refuse(diagnostic: Diagnostic): never {
  throw new InputError([diagnostic]);
}

function isFile(path: string): boolean {
  return existsSync(path) && statSync(path).isFile();
}
