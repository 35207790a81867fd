// Large netlists of every form, made up: a board of many parts, and much else in the file.

import { closeSync, openSync, writeSync } from 'node:fs';
import { dice } from './dice.mjs';

export const LARGE_FILES = [
  { name: 'IPC-D-356, board', ending: 'ipc' },
  { name: 'IPC-D-356, pins', ending: 'ipc' },
  { name: 'SPICE, board', ending: 'cir' },
  { name: 'SPICE, parts', ending: 'cir' },
  { name: 'pin list, board', ending: 'csv' },
  { name: 'pin list, pins', ending: 'csv' },
];

/** Parts of a large board; the most that one import takes is 200,000. */
const BOARD = 20_000;
const MOST = 150_000;

export function writeLarge(name, file, bytes) {
  const handle = openSync(file, 'w');
  let left = bytes;
  let block = [];
  const put = (line) => {
    block.push(line);
    left -= line.length + 1;
    if (block.length < 2000) return;
    writeSync(handle, `${block.join('\n')}\n`);
    block = [];
  };
  MAKERS[name](put, () => left > 0, dice(7));
  writeSync(handle, `${block.join('\n')}\n`);
  closeSync(handle);
}

const MAKERS = {
  'IPC-D-356, board': (put, isRoom, next) => {
    ipcHead(put);
    for (let n = 0; n < BOARD; n++) ipcPart(put, n, next);
    while (isRoom()) {
      put(`${`378N${netOf(next)}`.padEnd(18)}L01 X150 ${path(next)}`);
      put(
        `317N${String(netOf(next)).padEnd(13)}   VIA         D0118PA00X${place(next)}Y${place(next)}X0236Y0000R000 S3`,
      );
    }
    put('999');
  },
  'IPC-D-356, pins': (put, isRoom, next) => {
    ipcHead(put);
    // Pads of the same pins again and again once there are enough parts.
    for (let n = 0; isRoom(); n++) ipcPart(put, n % MOST, dice((n % MOST) + 1), next);
    put('999');
  },
  'SPICE, board': (put, isRoom, next) => {
    put('a large board');
    for (let n = 0; n < BOARD; n++) element(put, n, next);
    for (let n = 0; isRoom(); n++) model(put, n, next);
    put('.end');
  },
  'SPICE, parts': (put, isRoom, next) => {
    put('a very large board');
    for (let n = 0; n < MOST; n++) element(put, n, next);
    while (isRoom()) put(`* ${'a remark that a drawing program left in the deck '.repeat(2)}`);
    put('.end');
  },
  'pin list, board': (put, isRoom, next) => {
    put('Net;Designator;Pin;Pin name;Layer;X (mm);Y (mm);Remark');
    for (let n = 0; isRoom(); n++)
      row(put, n % (3 * BOARD), next, 'pad of a part, one of several on this pin');
  },
  'pin list, pins': (put, isRoom, next) => {
    put('Net;Designator;Pin;Pin name;Layer;X (mm);Y (mm);Remark');
    for (let n = 0; isRoom(); n++) row(put, n % (3 * MOST), next, '');
  },
};

function ipcHead(put) {
  put('P  UNITS CUST 0');
  put('P  VER   IPC-D-356A');
}

function ipcPart(put, n, next, places = next) {
  const name = `${'RCLDQ'[n % 5]}${n}`.padEnd(6);
  for (let pin = 1; pin <= (n % 5 === 4 ? 3 : 2); pin++) {
    const net = `N${netOf(next)}`.padEnd(14);
    put(
      `327${net}   ${name}-${String(pin).padEnd(4)}       A01X${place(places)}Y${place(places)}X0236Y0315R000 S1`,
    );
  }
}

function element(put, n, next) {
  const nets = () => `n${netOf(next)}`;
  const lines = [
    () => `R${n} ${nets()} ${nets()} 4.7k`,
    () => `C${n} ${nets()} 0 100n`,
    () => `L${n} ${nets()} ${nets()} 10u Rser=20m`,
    () => `D${n} ${nets()} ${nets()} 1N4148`,
    () => `Q${n} ${nets()} ${nets()} 0 2N3904`,
  ];
  put(lines[n % lines.length]());
}

/** A model of a part, as makers hand them out: dozens of lines that are no board. */
function model(put, n, next) {
  put(`.SUBCKT AMP${n} INP INM VCC VEE OUT`);
  put('* PINOUT ORDER +IN -IN V+ V- OUT');
  for (let k = 0; k < 30; k++) put(`G${k} ${k} 0 ${k + 1} 0 ${next().toExponential(6)}`);
  for (let k = 0; k < 10; k++)
    put(`.MODEL DX${k} D(IS=${next().toExponential(4)} RS=1 N=1.1 BV=100 CJO=1p`);
  put('.ENDS');
}

function row(put, k, next, remark) {
  const n = Math.floor(k / 3);
  put(
    `N${(k * 7919) % 9973};U${n};${1 + (k % 3)};P${k % 3};top;${place(next)};${place(next)};${remark}`,
  );
}

function netOf(next) {
  return Math.floor(next() * 9973);
}

function place(next) {
  return `+${String(Math.floor(next() * 1e6)).padStart(6, '0')}`;
}

function path(next) {
  return Array.from({ length: 3 }, () => `X${place(next)}Y${place(next)}`).join(' ');
}
