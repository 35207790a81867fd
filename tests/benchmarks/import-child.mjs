// Reads or imports one file as the command does, and tells what it took: node import-child.mjs
// read|import FILE.

import { closeSync, openSync, readSync } from 'node:fs';
import { importBoard } from '../../dist/board/import/index.js';

const [what, file] = process.argv.slice(2);

function* piecesOf(path) {
  const handle = openSync(path, 'r');
  const bytes = new Uint8Array(1 << 17);
  for (let count = readSync(handle, bytes); count > 0; count = readSync(handle, bytes)) {
    yield bytes.subarray(0, count);
  }
  closeSync(handle);
}

const before = process.cpuUsage();
const found = what === 'read' ? readAll() : importAll();
const { user, system } = process.cpuUsage(before);
const seconds = (user + system) / 1e6;
console.log(
  JSON.stringify({ ...found, seconds, megabytes: process.resourceUsage().maxRSS / 1024 }),
);

/** Every line end is looked for, and nothing else is done: no reader can do with less. */
function readAll() {
  let lines = 0;
  for (const piece of piecesOf(file)) for (const byte of piece) if (byte === 10) lines += 1;
  return { lines };
}

function importAll() {
  const { yaml, summary } = importBoard({ netlist: { file, text: piecesOf(file) } });
  return { parts: summary.parts, nets: summary.nets, boardMegabytes: yaml.length / 1e6 };
}
