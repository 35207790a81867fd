import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { SimulatedBench } from '../../../src/bench/simulated-bench.ts';
import { loadBoard } from '../../../src/board/load.ts';
import { AS_FOUND } from '../../../src/circuit/state.ts';
import { deriveJob } from '../../../src/job/derive.ts';
import { printSay } from '../../../src/job/print-say.ts';
import type { RawJob } from '../../../src/job/record.ts';
import { layOut } from '../../../src/report/sheet/layout.ts';
import { viewSheet } from '../../../src/report/sheet/view.ts';
import type { WayView } from '../../../src/report/sheet/way.ts';
import { openWorkbench } from '../../../src/steps/advise.ts';

/** The ways drawn once every rail of a board with hidden faults was read. */
function waysOf(file: string, seed: number): readonly WayView[] {
  const { board } = loadBoard(readFileSync(file, 'utf8'), file);
  const bench = new SimulatedBench(board, { seed, faults: 1 + (seed % 3) });
  const events = board.rails.map(({ plus, minus }, k) => {
    const probe = { mode: 'continuity', red: { net: plus }, black: { net: minus } } as const;
    const value = bench.answer(probe, AS_FOUND);
    const say = printSay(board, { do: 'read', reading: { ...probe, value } });
    return { n: k + 2, at: `2026-03-02T09:${10 + k}:00.000Z`, say, line: k + 2 };
  });
  const opening = { board: board.name, file, digest: board.digest, purpose: 'repair', version: 1 };
  const record = { path: 'job.yaml', openedAt: '2026-03-02T09:00:00.000Z', opening, events };
  const job = deriveJob(board, events);
  return viewSheet(openWorkbench(board), record as unknown as RawJob, job).found.ways;
}

/** Nets that hang together with the first one. */
function reached({ drawing }: WayView, from: number): Set<number> {
  const seen = new Set([from]);
  for (let grown = true; grown; ) {
    grown = false;
    for (const { from: a, to: b, standing } of drawing.elements) {
      if (standing === 'lifted' || seen.has(a) === seen.has(b)) continue;
      seen.add(a).add(b);
      grown = true;
    }
  }
  return seen;
}

describe('the ways drawn on a sheet', () => {
  it.each(['hoist-drive', 'bench-flyback', 'bypass-rail'])(
    'lead from the one point to the other on %s, whatever has failed',
    (name) => {
      let count = 0;
      for (let seed = 1; seed <= 8; seed++) {
        for (const way of waysOf(`boards/${name}.yaml`, seed)) {
          count += 1;
          const { nets, elements } = way.drawing;
          expect(new Set(nets).size).toBe(nets.length);
          for (const { from, to } of elements) {
            expect(nets[from]).toBeDefined();
            expect(nets[to]).toBeDefined();
          }
          const [, a = '', b = ''] = /join (\S+) and (\S+) now$/.exec(way.caption) ?? [];
          expect(reached(way, nets.indexOf(a))).toContain(nets.indexOf(b));
          expect(way.says.length).toBeGreaterThanOrEqual(elements.length);
          // Ten boxes beside each other would be too small on paper.
          expect(layOut(way.drawing).width).toBeLessThan(1900);
        }
      }
      expect(count).toBeGreaterThan(2);
    },
    60_000,
  );
});
