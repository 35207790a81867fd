import { describe, expect, it } from 'vitest';
import { insteadOf } from '../../src/steps/instead.ts';
import { whatIf } from '../../src/steps/what-if.ts';
import { Job, shippedBoard } from '../cases/bench.ts';

describe('what a lift would lead to', () => {
  const job = new Job(shippedBoard('hoist-drive'));
  const analysis = job.after(['P48 GND beep', 'V12_DRV GND quiet', 'V5 GND_LOG quiet']);

  it('is told reading by reading, soonest first, with chances that add up', () => {
    const { readings, best } = whatIf(analysis, job.part('W2'));
    expect(readings.length).toBeGreaterThan(0);
    const wholes = readings.map(({ whole }) => whole);
    expect(wholes).toEqual(wholes.toSorted((x, y) => x - y));
    expect(best).toBeLessThanOrEqual(wholes[0] ?? 0);
    for (const { outcomes, minutes } of readings) {
      expect(minutes).toBeGreaterThan(0);
      expect(outcomes.reduce((sum, { weight }) => sum + weight, 0)).toBeCloseTo(1, 1);
    }
  });

  it('says of the best reading what is said of the lift as the next step', () => {
    const part = job.part('W2');
    const [first] = whatIf(analysis, part).readings;
    const instead = insteadOf(analysis, { part });
    expect(first?.whole).toBe(instead?.whole);
    expect(first?.step).toEqual(instead?.step);
  });

  it('is nothing while nothing is suspected', () => {
    expect(whatIf(job.after([]), job.part('W2')).readings).toEqual([]);
  });
});
