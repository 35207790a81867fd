import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { readReadings } from '../../src/bench/readings-file.ts';
import { loadBoard } from '../../src/board/load.ts';
import { compareReadings } from '../../src/job/compare.ts';
import { deriveJob } from '../../src/job/derive.ts';
import { NODE_DESK } from '../../src/job/disk.ts';
import { writeEventLine } from '../../src/job/event-line.ts';
import { gates } from '../../src/job/gates.ts';
import { checkBoard } from '../../src/job/match-board.ts';
import { openJob } from '../../src/job/record.ts';
import { healthyBoard, openWorkbench } from '../../src/steps/advise.ts';

const { board } = loadBoard(
  readFileSync('boards/hoist-drive.yaml', 'utf8'),
  'boards/hoist-drive.yaml',
);
const SENSE = board.netNamed.get('SH_U')?.index;
const CHOKE = board.netNamed.get('SW12')?.index;

function beepsHealthy({ red }: { red: { net: number } }): boolean {
  return red.net === SENSE || red.net === CHOKE;
}

describe('the shipped job record', () => {
  it('is what the record writes for this board, with its times', async () => {
    // After a change to the board: npx vitest run -u tests/job/examples.test.ts
    const job = openJob('examples/hoist-job.yaml', NODE_DESK);
    const opened = { n: 1, at: job.openedAt, open: { ...job.opening, digest: board.digest } };
    let { text, sum } = writeEventLine(opened, '');
    for (const { n, at, say } of job.events) {
      const line = writeEventLine({ n, at, say }, sum);
      text += line.text;
      sum = line.sum;
    }
    await expect(text).toMatchFileSnapshot('../../examples/hoist-job.yaml');
  });

  it('fits its board, and ends with every gate holding', () => {
    const job = openJob('examples/hoist-job.yaml');
    expect(checkBoard(job, board)).toEqual([]);
    const healthy = healthyBoard(openWorkbench(board));
    const open = gates(board, deriveJob(board, job.events), healthy).filter(({ holds }) => !holds);
    expect(open).toEqual([]);
  });
});

describe('the shipped readings', () => {
  const before = readReadings(
    readFileSync('examples/before-swap.readings', 'utf8'),
    'before',
    board,
  );
  const after = readReadings(readFileSync('examples/after-swap.readings', 'utf8'), 'after', board);

  it('show every short cleared once it is known what beeps on a healthy board', () => {
    const compared = compareReadings(before.readings, after.readings, {
      expectedBeep: beepsHealthy,
    });
    expect(compared).toMatchObject({ worst: 'cleared', differs: false, contradictory: [] });
    expect(compared.pairs.filter(({ change }) => change === 'cleared')).toHaveLength(9);
    expect(compareReadings(before.readings, after.readings).worst).toBe('still short');
  });
});
