// Packs of the bundled command: copies of the files that most calls need, a pack for each set of them, and the
// same compiled, for the Node that builds. `src/cli/packs.ts` opens them.
import { spawnSync } from 'node:child_process';
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

/** Calls whose files are packed, by the modules that they open one after the other. */
const CALLS = [
  ['cli/main', 'cli/help'],
  ['cli/main', 'cli/completion/answer'],
  ['cli/main', 'cli/program', 'cli/commands/next', 'cli/print'],
];

/**
 * Writes the packs of a bundle.
 * @param outputs what the bundler says of the files it wrote
 * @returns by name of a file: its pack
 */
export function writePacks(folder, outputs) {
  const nameOf = new Map(
    Object.entries(outputs).flatMap(([path, { entryPoint }]) =>
      entryPoint === undefined
        ? []
        : [[entryPoint.replace(/^.*?(?=cli\/)|\.js$/g, ''), `./${path.replace(/^.*\//, '')}`]],
    ),
  );
  const callsOf = new Map();
  CALLS.forEach((modules, call) => {
    const files = new Set();
    for (const module of modules) addWithAll(folder, nameOf.get(module), files);
    for (const file of files) callsOf.set(file, [...(callsOf.get(file) ?? []), call]);
  });
  const packs = new Map();
  for (const [file, calls] of callsOf) {
    const pack = `pack-${calls.join('-')}.js`;
    packs.set(pack, [...(packs.get(pack) ?? []), file]);
  }
  for (const [pack, files] of packs) {
    const functions = files.map(
      (file) =>
        `${JSON.stringify(file)}: function (module, exports, require, __filename) {${textOf(folder, file)}\n}`,
    );
    writeFileSync(join(folder, pack), `({\n${functions.join(',\n')}\n})\n`);
  }
  return Object.fromEntries(
    [...packs].flatMap(([pack, files]) => files.map((file) => [file, pack])),
  );
}

/** Adds a file and all that run before its own code does. */
function addWithAll(folder, file, files) {
  if (files.has(file)) return;
  files.add(file);
  for (const [, other] of textOf(folder, file).matchAll(
    /^(?:var|const) .*require\("(\.\/[^"]+)"\)/gm,
  )) {
    addWithAll(folder, other, files);
  }
}

function textOf(folder, file) {
  return readFileSync(join(folder, file), 'utf8');
}

/** Compiles the packs, by a run of the command that has V8 compile what usual calls run. */
export function compilePacks(folder) {
  const run = spawnSync(
    process.execPath,
    [fileURLToPath(new URL('compile-packs.cjs', import.meta.url)), folder],
    {
      stdio: ['ignore', 'ignore', 'pipe'],
      encoding: 'utf8',
      env: { ...process.env, TRACE_SHORT_SHOP: 'none', NODE_OPTIONS: '' },
    },
  );
  if (run.status !== 0) throw new Error(`the packs were not compiled:\n${run.stderr}`);
}
