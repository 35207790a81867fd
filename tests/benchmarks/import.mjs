// npm run bench -- import [MB]: large netlists of each form, their time over that of reading the file
// and the memory they take beside it; then every real board, what of it was told and what guessed.
//
// "board" files hold a large board and much that is no part of it, as real ones do: tracks and vias,
// models of parts, pads by the dozen. "pins" files hold nothing but pins, as many as are taken.

import { spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { importBoard } from '../../dist/board/import/index.js';
import { loadBoard } from '../../dist/board/load.js';
import { LARGE_FILES, writeLarge } from './import-files.mjs';
import { inColumns } from './tables.mjs';

const CHILD = fileURLToPath(new URL('./import-child.mjs', import.meta.url));
const REAL = new URL('../../../shared/boards/', import.meta.url);
const megabytes = Number(process.argv[2] ?? 50);

if (megabytes > 0) largeFiles();
realBoards();

function largeFiles() {
  const folder = mkdtempSync(join(tmpdir(), 'import-'));
  const head = [
    'file',
    'MB',
    'parts',
    'nets',
    'reading s',
    'import s',
    'ratio',
    'MB beside reading',
    'board file MB',
  ];
  const lines = LARGE_FILES.map(({ name, ending }) => {
    const file = join(folder, `large.${ending}`);
    writeLarge(name, file, megabytes * 1e6);
    const read = child('read', file);
    const made = child('import', file);
    const size = statSync(file).size / 1e6;
    rmSync(file);
    return [
      name,
      size.toFixed(0),
      String(made.parts),
      String(made.nets),
      read.seconds.toFixed(2),
      made.seconds.toFixed(2),
      (made.seconds / read.seconds).toFixed(1),
      (made.megabytes - read.megabytes).toFixed(0),
      made.boardMegabytes.toFixed(1),
    ];
  });
  rmSync(folder, { recursive: true });
  console.log(`Large netlists; seconds of processor time\n\n${inColumns([head, ...lines])}\n`);
}

/** In a process of its own, so that the most memory it held is its own. */
function child(what, file) {
  const { stdout, status, stderr } = spawnSync(process.execPath, [CHILD, what, file], {
    encoding: 'utf8',
  });
  if (status !== 0) throw new Error(stderr);
  return JSON.parse(stdout);
}

function realBoards() {
  if (!existsSync(REAL)) {
    console.log('real boards left out: ../shared/boards is not there');
    return;
  }
  const names = readdirSync(REAL).filter((name) =>
    existsSync(new URL(`${name}/netlist.ipc`, REAL)),
  );
  const head = [
    'board',
    'parts',
    'nets',
    'rails',
    'told',
    'guessed',
    'unknown',
    'left out',
    'warnings',
    'ms',
  ];
  const lines = names.map((name) => {
    const read = (file) => ({ file, text: [readFileSync(new URL(`${name}/${file}`, REAL))] });
    const files = { netlist: read('netlist.ipc'), bom: read('bom.csv') };
    importBoard(files);
    const start = performance.now();
    const { yaml, warnings, summary } = importBoard(files);
    const ms = performance.now() - start;
    loadBoard(yaml, name);
    const { parts, nets, rails, told, guessed, unknown, leftOut } = summary;
    const counts = [parts, nets, rails, told, guessed, unknown, leftOut, warnings.length];
    return [name, ...counts.map(String), ms.toFixed(0)];
  });
  console.log(`Real boards; times of a second import\n\n${inColumns([head, ...lines])}`);
}
