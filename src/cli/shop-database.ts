/** The database that a shop's benches share, as far as the settings name one. */
import { dirname, resolve } from 'node:path';
import { InputError } from '../board/diagnostic.ts';
import { readAddress } from '../job/memory/database/address.ts';
import { Link } from '../job/memory/database/link.ts';
import { type ShopStore, shopStore } from '../job/memory/database/shop-store.ts';
import type { FolderStore } from '../job/memory/folder-store.ts';
import { wrap } from '../report/wrap.ts';
import { type Context, styleFor } from './context.ts';
import { say } from './print.ts';
import { databaseOf, type ShopInForce } from './shop.ts';

/** One for each address, so that jobs opened one after the other share a connection. */
const links = new Map<string, Link>();

/**
 * The way to the shop's database.
 * @throws {InputError} when the settings name none, or one that cannot be read
 */
export function linkOf(context: Context, inForce: ShopInForce): Link {
  const text = databaseOf(inForce);
  if (text === undefined) {
    throw new InputError([
      {
        code: 'USAGE',
        severity: 'error',
        message: 'the settings name no database for the memory',
        hint: 'name it: --shop postgres://USER@HOST/DATABASE',
      },
    ]);
  }
  const address = readAddress(text, context.env);
  // A settings file names its certificates as seen from itself, like all its files.
  const { rootCertificate: named } = address;
  const isOfFile = inForce.database === undefined && inForce.file !== undefined;
  const rootCertificate =
    named === undefined ? undefined : resolve(isOfFile ? dirname(inForce.file ?? '') : '.', named);
  const key = JSON.stringify([text, rootCertificate, context.env.PGPASSWORD]);
  const held = links.get(key);
  if (held !== undefined) return held;
  const whole = rootCertificate === undefined ? address : { ...address, rootCertificate };
  const made = new Link(whole, { env: context.env });
  links.set(key, made);
  return made;
}

/** The memory that all benches share, as this bench has it; what a person should know is said on stderr. */
export async function sharedMemory(
  context: Context,
  inForce: ShopInForce,
  { local, folder }: { readonly local: FolderStore; readonly folder: string },
): Promise<ShopStore> {
  const { width } = await styleFor(context, context.stderr);
  const note = (text: string): void => say(context, wrap(text, width));
  return shopStore({ local, folder, link: linkOf(context, inForce), note });
}
