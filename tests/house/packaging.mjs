// Checks the package as a stranger would get it: the packed file installs into an empty folder, runs
// with no build step, can be imported, and its types hold, on this Node and on every other one named.
//
//   node tests/house/packaging.mjs [NODE...]
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { dirname, join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';

const root = fileURLToPath(new URL('../..', import.meta.url));
const scratch = mkdtempSync(join(tmpdir(), 'packed-'));
const installed = join(scratch, 'node_modules', 'trace-short');
const nodes = [process.execPath, ...process.argv.slice(2).map((path) => resolve(path))];

const USE_LIBRARY = `
  import { readFileSync } from 'node:fs';
  import * as face from 'trace-short';
  const { InputError, advise, analyse, deriveJob, loadBoard, openWorkbench } = face;
  if (typeof InputError !== 'function') throw new Error('the library exports no InputError');
  for (const what of ['board', 'meter', 'shop', 'serve']) {
    const schema = new URL(import.meta.resolve(\`trace-short/\${what}.schema.json\`));
    if (!JSON.parse(readFileSync(schema, 'utf8')).$schema) throw new Error('no schema');
  }
  const { board } = loadBoard(readFileSync(process.argv[2], 'utf8'), 'board.yaml');
  const { step } = advise(analyse(openWorkbench(board), deriveJob(board, []).evidence));
  if (step.kind !== 'read') throw new Error('the first step is no reading');
`;

const USE_TYPES = `
  import { type Advice, advise, analyse, type Board, deriveJob, loadBoard, openWorkbench } from 'trace-short';
  const loaded: { readonly board: Board } = loadBoard('board: x', 'x.yaml');
  const advice: Advice = advise(analyse(openWorkbench(loaded.board), deriveJob(loaded.board, []).evidence));
  export const why: string = advice.why;
  // @ts-expect-error a board is no text
  export const wrong: string = loaded.board;
`;

try {
  run('npm', ['pack', '--silent', '--pack-destination', scratch], root);
  const packed = readdirSync(scratch).find((name) => name.endsWith('.tgz'));
  writeFileSync(join(scratch, 'package.json'), '{"private": true, "type": "module"}\n');
  const quick = ['--silent', '--prefer-offline', '--no-audit', '--no-fund', '--ignore-scripts'];
  run('npm', ['install', ...quick, `./${packed}`], scratch);
  checkContents();
  run('npx', ['--no-install', 'trace-short', '--help'], scratch);
  checkTypes();
  for (const node of nodes) checkOn(node);
} finally {
  rmSync(scratch, { recursive: true, force: true });
}

/** What is built is there, what builds it is not, and the library needs few packages. */
function checkContents() {
  const files = readdirSync(installed, { recursive: true }).map(String);
  const stray = files.filter(
    (name) => /^(?:src|tests|\.ci)\b|\.ts$/.test(name) && !/\.d\.ts$/.test(name),
  );
  if (stray.length > 0) fail(`the package holds ${stray.join(', ')}`);
  const { dependencies } = JSON.parse(readFileSync(join(installed, 'package.json'), 'utf8'));
  console.log(`packaging: ${files.length} files; needs ${Object.keys(dependencies).join(', ')}`);
}

/** From outside, with and without Node's own types, and with every declaration checked. */
function checkTypes() {
  const compiler = createRequire(import.meta.url).resolve('typescript/package.json');
  const tsc = join(dirname(compiler), 'bin', 'tsc');
  writeFileSync(join(scratch, 'use.ts'), USE_TYPES);
  for (const module of ['nodenext', 'esnext']) {
    const how = module === 'esnext' ? ['--moduleResolution', 'bundler'] : [];
    const strict = ['--strict', '--target', 'es2023', '--noEmit', '--skipLibCheck', 'false'];
    run(process.execPath, [tsc, ...strict, '--module', module, ...how, 'use.ts'], scratch);
  }
  console.log('packaging: its types hold from outside');
}

function checkOn(node) {
  const command = join(installed, 'bin', 'trace-short.js');
  const board = join(installed, 'boards', 'bench-flyback.yaml');
  const job = join(scratch, 'job.yaml');
  const call = (...words) => run(node, [command, ...words], scratch);
  const version = run(node, ['--version'], scratch).trim();
  call('--help');
  call('board', board);
  call('start', board, '-o', job);
  call('log', job, 'note packed');
  const next = JSON.parse(call('next', job, '--json'));
  if (next.schema !== 'trace-short/next/1') fail(`next --json gave ${next.schema}`);
  rmSync(job);
  for (const example of ['json-next.mjs', 'serve-drill.mjs', 'library-job.mjs']) {
    run(node, [join(installed, 'examples', example)], scratch);
  }
  writeFileSync(join(scratch, 'use.mjs'), USE_LIBRARY);
  run(node, ['use.mjs', board], scratch);
  console.log(`packaging: on Node ${version} the packed file runs and can be imported`);
}

function run(command, args, cwd) {
  const done = spawnSync(command, args, {
    cwd,
    encoding: 'utf8',
    env: { ...process.env, TRACE_SHORT_SHOP: 'none' },
  });
  if (done.status === 0) return done.stdout;
  return fail(
    `${command} ${args.join(' ')} failed\n${done.stdout ?? ''}${done.stderr ?? ''}${done.error ?? ''}`,
  );
}

function fail(message) {
  console.error(`packaging: ${message}`);
  rmSync(scratch, { recursive: true, force: true });
  process.exit(1);
}
