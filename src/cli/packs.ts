import { existsSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { Script } from 'node:vm';

/** A file of the bundle as a function, called once to fill in its exports. */
type PackedFile = (
  module: { exports: unknown },
  exports: unknown,
  require: (name: string) => unknown,
  filename: string,
) => void;

/** Files by name. */
type Pack = Readonly<Record<string, PackedFile>>;

/** By name of a file of the bundle: the pack with a copy of it; put here by the build. */
declare const PACK_OF: Readonly<Record<string, string>>;

const folder = dirname(fileURLToPath(import.meta.url));
const packs = new Map<string, Pack | undefined>();
const loaded = new Map<string, { exports: unknown }>();

/** Packs opened so far by their path, for the build to see what was compiled of them. */
export const scripts: Map<string, Script> = new Map();

/**
 * Gives a file of the bundled command by its name (`./main.js`), or a package: from a pack where the build
 * has left one compiled by this very Node, else the usual way. Compiling anew what a command needs takes as
 * long as starting Node.
 */
export function packed(name: string): unknown {
  const known = loaded.get(name);
  if (known !== undefined) return known.exports;
  const file = packWith(name)?.[name];
  if (file === undefined) return require(name); // of the old kind of modules, as what the build makes of this file is
  const module = { exports: {} };
  loaded.set(name, module);
  file(module, module.exports, packed, join(folder, name));
  return module.exports;
}

function packWith(name: string): Pack | undefined {
  const inPack = PACK_OF[name];
  if (inPack === undefined) return undefined;
  if (!packs.has(inPack)) packs.set(inPack, openPack(join(folder, inPack)));
  return packs.get(inPack);
}

/** V8 refuses what was compiled under other flags, and compiles it again. */
function openPack(path: string): Pack | undefined {
  const compiled = compiledPath(path);
  if (!existsSync(compiled)) return undefined;
  const script = scriptOf(path, readFileSync(compiled));
  scripts.set(path, script);
  return script.runInThisContext() as Pack;
}

export function scriptOf(path: string, cachedData?: Buffer): Script {
  const source = readFileSync(path, 'latin1'); // the bundler writes nothing beyond ASCII
  return new Script(source, { filename: path, ...(cachedData ? { cachedData } : {}) });
}

/** Where the compiled form of a pack lies for the Node that runs. */
export function compiledPath(path: string): string {
  return `${path}.${process.version}-${process.arch}`;
}
