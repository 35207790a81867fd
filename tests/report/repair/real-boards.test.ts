import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { importBoard } from '../../../src/board/import/index.ts';
import { loadBoard } from '../../../src/board/load.ts';
import type { Board } from '../../../src/board/model.ts';
import { columnsOf } from '../../../src/board/shown-text.ts';
import { repairLines } from '../../../src/report/repair/lines.ts';
import { viewRepair } from '../../../src/report/repair/view.ts';
import { NO_COLOUR } from '../../../src/report/style.ts';
import { Repaired } from '../../job/repair/repaired.ts';

/** Real boards stand beside the project, if at all; they are no part of it. */
const ROOT = new URL('../../../../shared/boards/', import.meta.url);
const names = existsSync(ROOT)
  ? readdirSync(ROOT).filter((name) => existsSync(new URL(`${name}/netlist.ipc`, ROOT)))
  : [];

function imported(name: string, withBom: boolean): Board {
  const text = (file: string): string => readFileSync(new URL(`${name}/${file}`, ROOT), 'latin1');
  const { yaml } = importBoard({
    netlist: { text: text('netlist.ipc'), file: 'netlist.ipc' },
    ...(withBom ? { bom: { text: text('bom.csv'), file: 'bom.csv' } } : {}),
  });
  return loadBoard(yaml, `${name}.yaml`).board;
}

/** One part of each kind, seen burnt: the list has a word on every sort of part there is. */
function oneOfEach(board: Board): string[] {
  const seen = new Map(board.parts.map((part) => [part.kind.name, part.name]));
  return [...seen.values()].map((name) => `look "${name}" burnt`);
}

test.skipIf(names.length === 0).each(names)(
  '%s has a list that reads at 50 columns, and says what its board file does not tell',
  (name) => {
    for (const withBom of [true, false]) {
      const board = imported(name, withBom);
      const says = oneOfEach(board).map((say) => say.replace(/"([\w.+-]+)"/, '$1'));
      const job = new Repaired(board, says, 'refurbish');
      const view = viewRepair(board, job.list);
      const lines = repairLines(view, { width: 50, palette: NO_COLOUR });
      for (const line of lines) {
        expect(columnsOf(line), line).toBeLessThanOrEqual(50);
        expect(line).not.toMatch(/undefined|NaN|\[object/);
      }
      expect(view.get.reduce((sum, { quantity }) => sum + quantity, 0)).toBe(view.counts.renew);
      expect(job.open.length).toBeGreaterThanOrEqual(says.length);
      const bare = view.get.filter((order) => order.package === undefined);
      for (const { missing } of bare) expect(missing).toContain('package');
      if (!withBom) expect(lines.join(' ')).toContain('not known');
    }
  },
  120_000,
);
