import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { importBoard } from '../../src/board/import/index.ts';
import { loadBoard } from '../../src/board/load.ts';
import type { Board } from '../../src/board/model.ts';
import { columnsOf } from '../../src/board/shown-text.ts';
import { Circuit } from '../../src/circuit/circuit.ts';
import { deriveJob } from '../../src/job/derive.ts';
import { parsePoint } from '../../src/job/points.ts';
import { powerPlan } from '../../src/job/power-plan.ts';
import { fedGroups } from '../../src/job/rail-order.ts';
import { powerLines } from '../../src/report/power-lines.ts';
import { viewPowerPlan } from '../../src/report/power-plan.ts';
import { viewSoak } from '../../src/report/soak.ts';
import { soakLines } from '../../src/report/soak-lines.ts';
import { NO_COLOUR } from '../../src/report/style.ts';
import { touchUpLines, viewTouchUp } from '../../src/report/touch-up.ts';

/** Real boards stand beside the project, if at all; they are no part of it. */
const ROOT = new URL('../../../shared/boards/', import.meta.url);
const names = existsSync(ROOT)
  ? readdirSync(ROOT).filter((name) => existsSync(new URL(`${name}/netlist.ipc`, ROOT)))
  : [];

function imported(name: string): Board {
  const text = (file: string): string => readFileSync(new URL(`${name}/${file}`, ROOT), 'latin1');
  const { yaml } = importBoard({
    netlist: { text: text('netlist.ipc'), file: 'netlist.ipc' },
    bom: { text: text('bom.csv'), file: 'bom.csv' },
  });
  return loadBoard(yaml, `${name}.yaml`).board;
}

test.skipIf(names.length === 0).each(names)(
  '%s has a plan that reads every rail at points the notation takes, and a short list of joints',
  (name) => {
    const board = imported(name);
    const plan = powerPlan(new Circuit(board));
    const job = deriveJob(board, []);
    const read = new Set(plan.stages.flatMap(({ rails }) => rails));
    expect(read.size).toBe(board.rails.length);
    const view = viewPowerPlan(board, plan, job, []);
    for (const { reads } of view.stages) {
      for (const { rail, red, black } of reads) {
        const known = board.rails.find((each) => each.name === rail);
        expect(parsePoint(board, red).net, red).toBe(known?.plus);
        expect(parsePoint(board, black).net, black).toBe(known?.minus);
      }
    }
    const style = { width: 50, palette: NO_COLOUR };
    const joints = viewTouchUp(board, job);
    const lines = [
      ...powerLines(view, 'job.yaml', style),
      ...soakLines(viewSoak(board, plan, job, { nowMs: 0 }), 'job.yaml', style),
      ...touchUpLines(joints, 'job.yaml', style),
    ];
    for (const line of lines) {
      expect(columnsOf(line), line).toBeLessThanOrEqual(50);
      expect(line).not.toMatch(/undefined|NaN|\[object/);
    }
    expect(joints.parts.length).toBeLessThanOrEqual(40);
  },
);

/** What a schematic says, and the parts alone should tell. */
test.skipIf(!names.includes('vesc-bldc4') || !names.includes('libresolar-mppt'))(
  'the way from the battery to the processor is found on two boards without their schematics',
  () => {
    const chainOf = (board: Board, rail: string): (string | undefined)[] => {
      const groups = fedGroups(board);
      const chain: (string | undefined)[] = [];
      let at = groups.find(({ rails }) => rails.some((each) => board.rails[each]?.name === rail));
      while (at !== undefined) {
        chain.push(board.rails[at.rails[0] ?? -1]?.name);
        at = at.feed === undefined ? undefined : groups[at.feed.from];
      }
      return chain;
    };
    expect(chainOf(imported('vesc-bldc4'), 'VCC')).toEqual(['VCC', '+5V', '12V', 'V_SUPPLY']);
    expect(chainOf(imported('libresolar-mppt'), '+3V3')).toEqual(['+3V3', 'VBUS']);
  },
);
