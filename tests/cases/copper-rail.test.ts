import { describe, expect, it } from 'vitest';
import { standing, wholeJob } from '../benchmarks/copper-play.mjs';

// A few trials of the copper benchmark: hidden copper that the engine knows nothing of. By chance the
// shorted part of 20 would be among three in 3 trials of 20.

const SEEDS = [1, 3, 5];
const LONG = 120_000; // ms, of a machine that has much else to do

function afterEight(scenario: string, seed: number) {
  const rail = { scenario, size: 20, seed, placement: 'random' } as const;
  const [said] = standing({ ...rail, chooser: 'tool', counts: [8] }).said;
  if (said === undefined) throw new Error('nothing was said');
  return said;
}

describe('one shorted part among twenty on a rail', () => {
  it(
    'is among the first three after eight readings, nearly always',
    () => {
      const places = ['shortest', 'tree'].flatMap((scenario) =>
        SEEDS.map((seed) => afterEight(scenario, seed).places[0] ?? 99),
      );
      expect(places.filter((place) => place <= 3).length).toBeGreaterThanOrEqual(5); // of 6
    },
    LONG,
  );

  it(
    'is found in a fraction of the time, with fewer parts off, than without the copper',
    () => {
      const rail = { scenario: 'shortest', size: 20, placement: 'random' } as const;
      const played = (rule: string) => SEEDS.map((seed) => wholeJob({ ...rail, seed, rule }));
      const [tool, likely] = [played('tool'), played('likely')];
      const sum = (list: readonly number[]): number => list.reduce((all, one) => all + one, 0);
      for (const { clear, missed, copper } of tool) {
        expect({ clear, missed }).toEqual({ clear: true, missed: 0 });
        expect(copper).toBeGreaterThan(1);
      }
      const [ours, plain] = [tool, likely].map((jobs) => sum(jobs.map((job) => job.minutes)));
      expect(ours).toBeLessThan(0.6 * (plain as number));
      const [own, theirs] = [tool, likely].map((jobs) => sum(jobs.map((job) => job.healthyPulled)));
      expect(own).toBeLessThan((theirs as number) / 3);
    },
    LONG,
  );
});

describe('two shorted parts among twenty on a rail', () => {
  it(
    'are both found, the second by what is read after the first came out',
    () => {
      const rail = { scenario: 'two shorts', size: 20, placement: 'random' } as const;
      const jobs = SEEDS.map((seed) => wholeJob({ ...rail, seed, rule: 'tool' }));
      for (const { clear, missed } of jobs) {
        expect({ clear, missed }).toEqual({ clear: true, missed: 0 });
      }
      const healthy = jobs.reduce((sum, job) => sum + job.healthyPulled, 0);
      expect(healthy).toBeLessThan(9); // of 54
    },
    LONG,
  );
});
