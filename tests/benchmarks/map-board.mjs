// Boards whose nets are hidden from the planner of `map`: parts and pins as a technician would list them.

import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { readBom } from '../../dist/board/import/bom.js';
import { readIpc356 } from '../../dist/board/import/ipc356.js';
import { loadBoard } from '../../dist/board/load.js';
import { partListOf } from '../../dist/board/part-list/from-board.js';
import { readList } from '../../dist/board/part-list/read-list.js';
import { COMMON_HANDHELD } from '../../dist/circuit/meter.js';
import { problemOf } from '../../dist/steps/mapping/problem-of.js';

export const FOLDER = fileURLToPath(new URL('../../../shared/boards/', import.meta.url));
const HERE = fileURLToPath(new URL('../../boards/', import.meta.url));
/** Of the boards that come with the tool. */
export const SHIPPED = readdirSync(HERE)
  .filter((file) => file.endsWith('.yaml'))
  .map((file) => file.slice(0, -'.yaml'.length));

/** Parts and pins as a technician would list them, and the net of every pin, hidden. */
export function boardOf(name, known) {
  return SHIPPED.includes(name) ? shipped(name, known) : real(name, known);
}

function real(name, known) {
  const read = (file) => readFileSync(`${FOLDER}${name}/${file}`, 'utf8');
  const netlist = readIpc356(read('netlist.ipc'), name);
  const bom = readBom(read('bom.csv'), name);
  const lines = ['part,pin,x,y'];
  const nets = new Map();
  const fitted = new Set(
    [...bom.entries.values()].filter((entry) => !entry.fitted).map(({ part }) => part),
  );
  for (const part of netlist.parts) {
    if (fitted.has(part.name)) continue;
    for (const pin of part.pins) {
      const [x, y] = known === 'places' ? (pin.at ?? ['', '']) : ['', ''];
      const key = `${part.name}.${pin.name}`;
      lines.push(`${part.name},${pin.name},${x},${y}`);
      nets.set(key.replace(/[^\w]/g, '_'), pin.net ?? `none ${key}`);
    }
  }
  const bill = known === 'pins' ? undefined : { text: read('bom.csv'), file: 'bom.csv' };
  const list = readList(lines.join('\n'), 'pins.csv', bill);
  const problem = problemOf(list, COMMON_HANDHELD);
  const truth = problem.points.map((point) => nets.get(point.name.replace(/[^\w]/g, '_')));
  return withGround(problem, heard(problem, truth));
}

/** What beeps together: low-ohm parts join their nets, for a beeper. */
function heard(problem, truth) {
  const up = new Map();
  const find = (net) => {
    let at = net;
    while (up.has(at)) at = up.get(at);
    return at;
  };
  for (const { lowOhm } of problem.parts) {
    for (const [a, b] of lowOhm) {
      const [one, other] = [find(truth[a]), find(truth[b])];
      if (one !== other) up.set(one, other);
    }
  }
  return truth.map(find);
}

function withGround(problem, truth) {
  const [largest] = [...sizesOf(truth)].sort((a, b) => b[1] - a[1])[0];
  const ground = truth.findIndex(
    (net, point) => net === largest && problem.points[point].role !== 'bypass',
  );
  return { problem: { ...problem, ground }, truth };
}

/** A board file with every net hidden; names alone: no places and no kinds either. */
function shipped(name, known) {
  const text = readFileSync(`${HERE}${name}.yaml`, 'utf8');
  const whole = partListOf(loadBoard(text, name).board, text);
  const truth = whole.parts.flatMap((part) => part.pins.map(({ net }) => net));
  const parts = whole.parts.map((part) => ({
    ...part,
    pins: part.pins.map(({ name: pin, role, at }) => ({
      name: pin,
      role,
      ...(known === 'places' && at !== undefined ? { at } : {}),
    })),
  }));
  const lines = parts.flatMap((part) => part.pins.map((pin) => `${part.name},${pin.name}`));
  const list =
    known === 'pins'
      ? readList(['part,pin', ...lines].join('\n'), 'pins.csv')
      : { ...whole, parts };
  const problem = problemOf(list, COMMON_HANDHELD);
  return withGround(problem, heard(problem, truth));
}

export function sizesOf(list) {
  const sizes = new Map();
  for (const each of list) sizes.set(each, (sizes.get(each) ?? 0) + 1);
  return sizes;
}
