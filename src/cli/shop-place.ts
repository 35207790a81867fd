import { existsSync } from 'node:fs';
import { homedir } from 'node:os';
import { dirname, join, relative, resolve } from 'node:path';
import type { Context } from './context.ts';

/** Where a shop's settings come from, and by which rule. */
export interface ShopPlace {
  readonly by: 'flag' | 'environment' | 'folder' | 'user' | 'none';
  /** Undefined where the defaults hold throughout. */
  readonly file?: string;
  /** Address of a database that holds the memory, in place of the one that the settings name. */
  readonly database?: string;
}

/** A settings file in a folder, or in one above it. */
export const FOLDER_FILE = 'trace-short.yaml';
/** In place of a file: none, whatever stands in the folders. */
const NO_FILE = 'none';

/**
 * The settings file in force: `--shop`, else TRACE_SHORT_SHOP, else the nearest `trace-short.yaml` in
 * the folder or above, else `shop.yaml` in the user's configuration folder. Either of the first two may
 * name a database of the memory in place of a file; the file is then found by the others.
 * @param folder of the job, or the one worked in
 */
export function shopPlace(
  { shop, env }: Pick<Context, 'shop' | 'env'>,
  folder: string,
  home: string = homedir(),
): ShopPlace {
  if (shop !== undefined && isDatabase(shop)) {
    const { database: _other, ...place } = shopPlace({ shop: undefined, env }, folder, home);
    return { ...place, database: shop };
  }
  if (shop !== undefined) return named('flag', shop);
  const { TRACE_SHORT_SHOP: said } = env;
  if (said !== undefined && isDatabase(said)) {
    const { TRACE_SHORT_SHOP: _said, ...others } = env;
    return { ...shopPlace({ shop: undefined, env: others }, folder, home), database: said };
  }
  if (said !== undefined && said !== '') return named('environment', said);
  const near = nearestAbove(resolve(folder));
  if (near !== undefined) return { by: 'folder', file: near };
  const own = userFile(env, process.platform, home);
  return existsSync(own) ? { by: 'user', file: own } : { by: 'none' };
}

/** Told by its beginning, as libpq tells an address from other text. */
function isDatabase(text: string): boolean {
  return /^postgres(?:ql)?:\/\//i.test(text);
}

function named(by: 'flag' | 'environment', file: string): ShopPlace {
  return file === NO_FILE ? { by } : { by, file };
}

function nearestAbove(start: string): string | undefined {
  for (let folder = start; ; folder = dirname(folder)) {
    const file = join(folder, FOLDER_FILE);
    if (existsSync(file)) return shortest(file);
    if (dirname(folder) === folder) return undefined;
  }
}

/** As a person standing here would name it. */
function shortest(file: string): string {
  const from = relative('.', file);
  return from.length < file.length ? from : file;
}

/** The user's own settings file, whether it is there or not, by the custom of the system. */
export function userFile(env: NodeJS.ProcessEnv, platform: NodeJS.Platform, home: string): string {
  return join(configFolder(env, platform, home), 'trace-short', 'shop.yaml');
}

function configFolder(env: NodeJS.ProcessEnv, platform: NodeJS.Platform, home: string): string {
  const { XDG_CONFIG_HOME: xdg, APPDATA: roaming } = env;
  if (xdg !== undefined && xdg !== '') return xdg;
  if (platform === 'win32') return roaming || join(home, 'AppData', 'Roaming');
  if (platform === 'darwin') return join(home, 'Library', 'Application Support');
  return join(home, '.config');
}
