// The boards benchmarks run on: the shipped ones, and real ones where their folder is there.
import { existsSync, readFileSync } from 'node:fs';
import { importBoard } from '../../dist/board/import/index.js';
import { loadBoard } from '../../dist/board/load.js';
import { skeletonBoard, skeletonNamed } from '../../dist/board/skeletons/skeleton-board.js';

const REAL = new URL('../../../shared/boards/', import.meta.url);

export function shippedBoards() {
  return ['hoist-drive', 'bypass-rail', 'bench-flyback'].map((name) => {
    const file = new URL(`../../boards/${name}.yaml`, import.meta.url);
    return { name, board: loadBoard(readFileSync(file, 'utf8'), name).board };
  });
}

/** Undefined when the real boards are not there. */
export function realBoard(name) {
  const folder = new URL(`${name}/`, REAL);
  if (!existsSync(folder)) return undefined;
  const read = (file) => ({ file, text: readFileSync(new URL(file, folder), 'latin1') });
  const bom = { file: 'bom.csv', text: readFileSync(new URL('bom.csv', folder), 'utf8') };
  const { yaml } = importBoard({ netlist: read('netlist.ipc'), bom });
  return { name, yaml, board: loadBoard(yaml, name).board };
}

export function realBoards(names) {
  const found = names.map(realBoard);
  if (found.includes(undefined)) console.log('real boards left out: ../shared/boards is not there');
  return found.filter((board) => board !== undefined);
}

/** A stage made from its skeleton, as usual. */
export function skeletonBoards(names) {
  return names.map((name) => {
    const { yaml } = skeletonBoard(skeletonNamed(name), new Map());
    return { name, board: loadBoard(yaml, name).board };
  });
}

/** Those that whole jobs are played on. */
export function jobBoards() {
  return [...shippedBoards(), ...realBoards(['libresolar-mppt', 'dcdc-rtc', 'vesc-bldc4'])];
}
