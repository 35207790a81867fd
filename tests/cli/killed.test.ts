import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { loadBoard } from '../../src/board/load.ts';
import { deriveJob } from '../../src/job/derive.ts';
import { printProbe } from '../../src/job/print-say.ts';
import { openJob } from '../../src/job/record.ts';
import { advise, analyse, openWorkbench } from '../../src/steps/advise.ts';
import { call } from './call.ts';
import { killedRun, type Moment } from './killed-run.ts';
import { scratchFolder } from './scratch.ts';

/** `npm run kills` has 300. */
const KILLS = Number(process.env.TRACE_SHORT_KILLS ?? 12);

let folder: ReturnType<typeof scratchFolder>;

beforeEach(() => {
  folder = scratchFolder();
});
afterEach(() => folder.remove());

/** Numbers from 0 to 1, the same for the same seed (Park and Miller's generator). */
function dice(seed: number): () => number {
  let state = 1 + (seed % 2_147_483_646);
  return () => {
    state = (state * 48_271) % 2_147_483_647;
    return state / 2_147_483_647;
  };
}

function momentOf(random: () => number): Moment {
  if (random() < 0.25) return { afterMs: 50 + 1200 * random() };
  return { answers: Math.floor(6 * random()), thenMs: 40 * random() ** 2 };
}

/** The probe that comes next by what was said, worked out without the file. */
function probeAfter(says: readonly string[]): string | undefined {
  const { board } = loadBoard(readFileSync(join(folder.cwd, 'lamp.yaml'), 'utf8'), 'lamp.yaml');
  const events = says.map((say, k) => ({ n: k + 2, at: '', say, line: k + 2 }));
  const { evidence } = deriveJob(board, events);
  const { step } = advise(analyse(openWorkbench(board), evidence));
  return step.kind === 'read' ? printProbe(board, step.probe) : undefined;
}

describe('a guided run that is killed', () => {
  it(`at ${KILLS} random moments never loses what it showed as recorded, and opens at the right step`, {
    timeout: 30_000 + KILLS * 20_000,
  }, async () => {
    const { cwd } = folder;
    const job = join(cwd, 'lamp-job.yaml');
    const before = ['customer x', 'arrived x', 'skip look-over seen', 'residual P24 GND 0 V'];
    expect(call(['start', 'lamp.yaml'], { cwd }).exit).toBe(0);
    expect(call(['log', 'lamp-job.yaml', ...before], { cwd }).exit).toBe(0);
    const random = dice(Number(process.env.TRACE_SHORT_SEED));
    let known = openJob(job).events.map(({ say }) => say);
    let acknowledged = 0;
    let killedAtWork = 0;
    for (let round = 0; round < KILLS; round++) {
      const moment = momentOf(random);
      const run = await killedRun(cwd, moment, random);
      const told = `round ${round}, ${JSON.stringify(moment)}:\n${run.output}`;
      const now = openJob(job).events.map(({ say }) => say);
      // All that was there is there, then all that was shown, then at most what was not shown yet.
      expect(now.slice(0, known.length), told).toEqual(known);
      const added = now.slice(known.length);
      expect(added.slice(0, run.acknowledged.length), told).toEqual(run.acknowledged);
      expect(added.length - run.acknowledged.length, told).toBeLessThanOrEqual(1);
      const due = probeAfter(known);
      if (run.firstProbe !== undefined && due !== undefined) expect(run.firstProbe, told).toBe(due);
      if (run.acknowledged.length > 0) killedAtWork += 1;
      acknowledged += run.acknowledged.length;
      known = now;
    }
    // The kills did fall where something was at stake.
    expect(killedAtWork).toBeGreaterThan(KILLS / 4);
    expect(acknowledged).toBeGreaterThan(KILLS / 2);
    const after = call(['log', 'lamp-job.yaml', 'note all there'], { cwd });
    // Random readings may well contradict each other.
    expect([0, 3], after.stderr).toContain(after.exit);
    expect(openJob(job).events.at(-1)?.say).toBe('note all there');
  });
});
