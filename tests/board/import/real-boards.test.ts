import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { importBoard } from '../../../src/board/import/index.ts';
import { loadBoard } from '../../../src/board/load.ts';
import type { Board } from '../../../src/board/model.ts';

/** Real boards stand beside the project, if at all; they are no part of it. */
const ROOT = new URL('../../../../shared/boards/', import.meta.url);
const present = existsSync(ROOT);
const names = present
  ? readdirSync(ROOT).filter((name) => existsSync(new URL(`${name}/netlist.ipc`, ROOT)))
  : [];
const samples = present
  ? readdirSync(new URL('_samples/', ROOT)).filter((name) => /\.(ipc|net)$/.test(name))
  : [];

if (!present)
  console.info('real boards not found beside the project: their import tests are left out');

function importReal(name: string): {
  board: Board;
  summary: ReturnType<typeof importBoard>['summary'];
} {
  const netlist = readFileSync(new URL(`${name}/netlist.ipc`, ROOT), 'latin1');
  const bom = readFileSync(new URL(`${name}/bom.csv`, ROOT), 'utf8');
  const { yaml, summary } = importBoard({
    netlist: { text: netlist, file: 'netlist.ipc' },
    bom: { text: bom, file: 'bom.csv' },
  });
  return { board: loadBoard(yaml, `${name}.yaml`).board, summary };
}

function pinsOf(board: Board, part: string): Record<string, string> {
  const pins = board.partNamed.get(part)?.pins ?? [];
  return Object.fromEntries(
    pins.map((pin) => [board.pins[pin]?.name, board.nets[board.pins[pin]?.net ?? -1]?.name]),
  );
}

test.skipIf(!present).each(names)(
  '%s imports and loads, nearly all of it known',
  (name) => {
    const { summary } = importReal(name);
    expect(summary.unknown).toBe(0);
    expect(summary.guessed).toBeLessThan(summary.parts * 0.2);
    expect(summary.rails).toBeGreaterThan(1);
  },
  60_000,
);

test.skipIf(!present).each(samples)('sample %s is read without a crash', (name) => {
  const text = readFileSync(new URL(`_samples/${name}`, ROOT), 'latin1');
  const withoutParts = name === 'geda-cust1.net';
  const run = (): unknown =>
    loadBoard(importBoard({ netlist: { text, file: name } }).yaml, 'b.yaml').board.parts.length;
  if (withoutParts) expect(run).toThrow('names no part');
  else expect(run()).toBeGreaterThan(0);
});

test.skipIf(!present)(
  'power parts of the solar charge controller are what a technician sees',
  () => {
    const { board } = importReal('libresolar-mppt');
    expect(pinsOf(board, 'Q1')).toMatchObject({ D: '/DCDC_HV+', S: '/DC/DC/SW_NODE' });
    expect(pinsOf(board, 'Q2')).toMatchObject({ D: '/DC/DC/SW_NODE', S: 'GND' });
    expect(board.partNamed.get('R6')).toMatchObject({ ohms: 0.002, kind: { name: 'resistor' } });
    expect(board.partNamed.get('RV2')?.kind.name).toBe('varistor');
    expect(pinsOf(board, 'C1')).toEqual({ plus: '/DCDC_HV+', minus: 'GND' });
  },
);

test.skipIf(!present)('power parts of the brushless drive are what a technician sees', () => {
  const { board } = importReal('vesc-bldc4');
  for (const part of ['Q1', 'Q3', 'Q5']) expect(pinsOf(board, part).D).toBe('V_SUPPLY');
  expect(board.partNamed.get('R14')?.ohms).toBeCloseTo(0.0005);
  expect(pinsOf(board, 'D1').K).toBe('GND');
  expect(pinsOf(board, 'U2')).toEqual({ IN: '+5V', GND: 'GND', OUT: 'VCC' });
});

test.skipIf(!present)('both sides of the isolated converter have their own ground', () => {
  const { board } = importReal('dcdc-rtc');
  const minus = (plus: string): string | undefined => {
    const rail = board.rails.find((each) => board.nets[each.plus]?.name === plus);
    return board.nets[rail?.minus ?? -1]?.name;
  };
  expect([minus('+HV'), minus('24V_TP'), minus('+HV_IN')]).toEqual(['-HV_PC', 'GND', '-HV_IN']);
  expect(pinsOf(board, 'Q8')).toMatchObject({ S: 'GND' });
  expect(pinsOf(board, 'U9')).toMatchObject({ A: '+9V', E: '-HV_PC' });
});
