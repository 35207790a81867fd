// Builds dist/: compiles src, copies the catalogues of kinds and meters and writes the JSON Schemas
// of board, meter and settings files and of the messages of `serve`. With `--if-changed` it leaves a
// dist/ alone that is newer than every source.
import { spawnSync } from 'node:child_process';
import {
  copyFileSync,
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { compilePacks, writePacks } from './packs.mjs';

const root = fileURLToPath(new URL('../..', import.meta.url));
const src = join(root, 'src');
const dist = join(root, 'dist');
// Built aside and moved into place, so that a command run meanwhile never meets half a build.
const fresh = join(root, 'node_modules', '.trace-short-build', String(process.pid));
const stampName = '.built';
/** Schema by the module and function that make it, and where it is published. */
const SCHEMAS = [
  ['board/schema.js', 'boardSchema', 'board/board.schema.json'],
  ['circuit/meter-schema.js', 'meterSchema', 'circuit/meter.schema.json'],
  ['job/shop/shop-schema.js', 'shopSchema', 'job/shop/shop.schema.json'],
  ['cli/serve/schema/index.js', 'serveSchema', 'serve/serve.schema.json'],
];

if (process.argv.includes('--if-changed') && isFresh()) process.exit(0);
mkdirSync(fresh, { recursive: true });
try {
  compile();
  copyCatalogue();
  await writeSchemas();
  await bundleCommand();
  await writeManual();
  // The command is in its bundle whole; the library face takes nothing from here.
  rmSync(join(fresh, 'cli'), { recursive: true });
  rmSync(dist, { recursive: true, force: true });
  renameSync(fresh, dist);
  compilePacks(join(dist, 'command')); // in its place, as it looks for what lies beside dist/
} finally {
  rmSync(fresh, { recursive: true, force: true });
}

/** A file removed from src shows as a change of its folder's time. */
function isFresh() {
  const stamp = join(dist, stampName);
  if (!existsSync(stamp)) return false;
  const built = statSync(stamp).mtimeMs;
  const sources = readdirSync(src, { recursive: true }).map((name) => join(src, String(name)));
  const own = ['tsconfig.json', 'tsconfig.build.json', 'README.md', 'package.json'];
  const inputs = [...sources, src, ...own.map((name) => join(root, name))];
  return inputs.every((path) => statSync(path).mtimeMs < built);
}

/** The stamp is written first: a source saved while the compiler runs is then newer than it. */
function compile() {
  writeFileSync(join(fresh, stampName), '');
  const manifest = createRequire(import.meta.url).resolve('typescript/package.json');
  const tsc = join(dirname(manifest), 'bin', 'tsc');
  const args = [tsc, '-p', 'tsconfig.build.json', '--outDir', fresh];
  const run = spawnSync(process.execPath, args, { cwd: root, stdio: 'inherit' });
  // The compiler writes its output even when types are wrong; `--lenient` makes do with that.
  if (run.status !== 0 && !process.argv.includes('--lenient')) {
    throw new Error('the compiler found errors (see above); dist/ is left as it was');
  }
}

/** The bundled command finds the meters there as well; the kinds it takes from beside itself. */
function copyCatalogue() {
  const catalogue = join(src, 'board', 'kinds.yaml');
  if (existsSync(catalogue)) copyFileSync(catalogue, join(fresh, 'board', 'kinds.yaml'));
  const meters = join(src, 'circuit', 'meters.yaml');
  if (existsSync(meters)) copyFileSync(meters, join(fresh, 'circuit', 'meters.yaml'));
}

/**
 * The command in few files: a start costs as much for opening modules as for running them. Prompts
 * and the full YAML reader stay in files of their own, loaded when they are needed.
 */
async function bundleCommand() {
  const { build, transform } = await import('esbuild');
  const outdir = join(fresh, 'command');
  const { metafile } = await build({
    absWorkingDir: root,
    entryPoints: [join(fresh, 'cli', 'main.js')],
    outdir,
    bundle: true,
    splitting: true,
    format: 'esm',
    platform: 'node',
    target: 'node20',
    metafile: true,
    // The way to a database stays a package of its own, opened by those shops alone that have one.
    external: ['pg'],
    plugins: [fewChunks(), withoutChildren()],
    logLevel: 'warning',
  });
  const chunks = readdirSync(outdir).map((name) => join(outdir, name));
  for (const path of chunks) await toCommonJs(transform, path);
  writeFileSync(join(outdir, 'package.json'), '{"type": "commonjs"}\n');
  const packOf = writePacks(outdir, metafile.outputs);
  for (const path of chunks) goingByPacks(path);
  await bundlePacks(build, packOf, outdir);
  const { catalogue, catalogueText } = await importFresh('board/catalogue.js');
  writeFileSync(join(outdir, 'kinds.json'), catalogueText(catalogue()));
  writeFileSync(join(outdir, 'LICENSES.txt'), licensesOf(Object.keys(metafile.inputs)));
}

/**
 * Chunks are modules of the old kind: Node opens those in one go and without its loader for the new kind,
 * which costs a start a third of bare Node. The bundler cuts chunks in the new form only.
 */
async function toCommonJs(transform, path) {
  const text = readFileSync(path, 'utf8');
  const here = 'const moduleUrl = require("node:url").pathToFileURL(__filename).href;\n';
  const { code } = await transform(text, {
    format: 'cjs',
    platform: 'node',
    target: 'node20',
    supported: { 'dynamic-import': false },
    define: { 'import.meta.url': 'moduleUrl' },
    logLevel: 'warning',
  });
  writeFileSync(path, code.includes('moduleUrl') ? here + code : code);
}

/** What a chunk asks for comes from a pack where another copy of it might be in use already. */
function goingByPacks(path) {
  const text = readFileSync(path, 'utf8');
  const first = /^"use strict";/.exec(text)?.[0] ?? '';
  const own = 'require = require("./packs.js").packed;';
  writeFileSync(path, `${first}${own}${text.slice(first.length)}`);
}

async function bundlePacks(build, packOf, outdir) {
  await build({
    entryPoints: [join(fresh, 'cli', 'packs.js')],
    outfile: join(outdir, 'packs.js'),
    format: 'cjs',
    platform: 'node',
    target: 'node20',
    define: { PACK_OF: JSON.stringify(packOf), 'import.meta.url': 'moduleUrl' },
    banner: { js: 'const moduleUrl = require("node:url").pathToFileURL(__filename).href;' },
    logLevel: 'warning',
  });
}

/**
 * A module goes into a chunk with those that the same commands need. Told that all that work on jobs need
 * whatever `next` does, the bundler makes a few large chunks of it in place of sixty small ones, each of
 * which costs a start as much for opening as for reading.
 */
function fewChunks() {
  const light =
    /cli[\\/](?:commands[\\/](?:help|completion|meter|shop|import|new|next|guide)|guided[\\/])/;
  const needingNext =
    /cli[\\/](?:commands[\\/][\w-]+|guided[\\/]run|worth|prices|board-graph|soak[\\/]desk|(?:soak|drill)[\\/]at-terminal)\.js$/;
  return {
    name: 'few chunks',
    setup: (build) => {
      build.onLoad({ filter: needingNext }, ({ path }) => {
        if (light.test(path) && !/run\.js$/.test(path)) return undefined;
        const next = join(fresh, 'cli', 'commands', 'next.js');
        return {
          contents: `import ${JSON.stringify(next)};\n${readFileSync(path, 'utf8')}`,
          loader: 'js',
        };
      });
    },
  };
}

/** Commander can start other programs, for which it opens a module of Node that takes a start some ms; ours never does. */
function withoutChildren() {
  const own = /require\(['"](?:node:)?child_process['"]\)/;
  return {
    name: 'without children',
    setup: (build) => {
      build.onLoad({ filter: /commander[\\/]lib[\\/]command\.js$/ }, ({ path }) => {
        const text = readFileSync(path, 'utf8');
        if (!own.test(text)) throw new Error('commander opens child_process in another way');
        const later = `{ get spawn() { return require('node:child_process').spawn; } }`;
        return { contents: text.replace(own, later), loader: 'js' };
      });
    },
  };
}

/** The licenses of all packages that the bundle holds, as those ask for. */
function licensesOf(inputs) {
  const folders = inputs.flatMap(
    (path) => /^.*node_modules\/(?:@[^/]+\/)?[^./][^/]*/.exec(path)?.[0] ?? [],
  );
  const texts = [...new Set(folders)].sort().map((folder) => {
    const { name, version, license } = JSON.parse(
      readFileSync(join(root, folder, 'package.json'), 'utf8'),
    );
    const file = readdirSync(join(root, folder)).find((each) => /^licen[cs]e/i.test(each));
    const text = file === undefined ? '' : readFileSync(join(root, folder, file), 'utf8').trim();
    return `${name} ${version} (${license})\n\n${text}`.trim();
  });
  return `The command holds these packages.\n\n${texts.join(`\n\n${'-'.repeat(72)}\n\n`)}\n`;
}

async function importFresh(module) {
  return await import(pathToFileURL(join(fresh, module)).href);
}

/** The manual page, from the README and the table of commands. */
async function writeManual() {
  const { manual } = await import(pathToFileURL(join(fresh, 'cli', 'manual', 'manual.js')).href);
  const { COMMANDS } = await import(pathToFileURL(join(fresh, 'cli', 'commands.js')).href);
  mkdirSync(join(fresh, 'man'));
  writeFileSync(join(fresh, 'man', 'trace-short.1'), manual(COMMANDS, root));
}

async function writeSchemas() {
  for (const [module, make, place] of SCHEMAS) {
    const { [make]: schema } = await import(pathToFileURL(join(fresh, module)).href);
    mkdirSync(dirname(join(fresh, place)), { recursive: true });
    writeFileSync(join(fresh, place), `${JSON.stringify(schema(), null, 2)}\n`);
  }
}
