// The diode test: what a healthy junction shows clears, what a shorted one shows accuses.
import { describe, expect, it } from 'vitest';
import { Job, shippedBoard } from './bench.ts';

const bench = new Job(shippedBoard('bench-flyback'));

describe('a reading in diode test', () => {
  it('of a healthy drop one way and OL the other is what the board shows, and accuses nothing', () => {
    const analysis = bench.after(['D1.A D1.K 0.5 V', 'D1.K D1.A OL diode']);
    expect(analysis.diagnosis.contradictory).toBe(false);
    expect(bench.weightOf(analysis, 'D1')).toBeLessThan(0.02);
  });

  it('of next to nothing both ways accuses the part across it', () => {
    const analysis = bench.after(['D1.A D1.K 0.001 V', 'D1.K D1.A 0.001 V']);
    expect(bench.weightOf(analysis, 'D1')).toBeGreaterThan(0.2);
  });

  it('of OL both ways is no contradiction: the junction may be open', () => {
    const analysis = bench.after(['D1.A D1.K OL diode', 'D1.K D1.A OL diode']);
    expect(analysis.diagnosis.contradictory).toBe(false);
  });
});
