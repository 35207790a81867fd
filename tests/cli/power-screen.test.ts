import { expect, it } from 'vitest';
import { keysOfTask } from '../../src/cli/guided/keys.ts';
import { stepScreen } from '../../src/cli/guided/step-screen.ts';
import { NO_COLOUR } from '../../src/report/style.ts';
import { shippedBoard } from '../cases/bench.ts';
import { WholeJob } from '../cases/whole-job.ts';

const SIZES = [
  { width: 80, rows: 24 },
  { width: 120, rows: 30 },
  { width: 50, rows: 40 },
];

it.each(['bench-flyback', 'hoist-drive'])(
  'every stage of first power of %s fits the screen with what to set, read and press',
  (name) => {
    const job = new WholeJob(shippedBoard(name), 'repair').until('power');
    const shown: string[] = [];
    for (
      let standing = job.standing();
      standing.task?.kind === 'power';
      standing = job.standing()
    ) {
      const { task } = standing;
      for (const { width, rows } of SIZES) {
        const { board, derived, purpose, study } = job;
        const work = {
          board,
          derived,
          purpose,
          label: 'job.yaml',
          record: () => [],
          close: () => {},
        };
        const turn = { study, standing, state: derived.evidence.state, pick: 0, news: [] };
        const style = { width, palette: NO_COLOUR };
        const lines = stepScreen(work, turn, keysOfTask(task), style, rows);
        expect(lines.length).toBeLessThanOrEqual(rows - 1);
        const text = lines.join('\n');
        expect(text).toMatch(/^Feed /m);
        expect(text).toMatch(/^Read /m);
        expect(text).toContain('whole');
        if (/Set /.test(text)) expect(text).toMatch(/100 %/);
        shown.push(text);
      }
      job.step();
    }
    expect(shown.some((text) => /^Set /m.test(text))).toBe(true);
  },
);
