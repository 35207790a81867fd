import { describe, expect, it } from 'vitest';
import { Job, shippedBoard } from '../cases/bench.ts';

const flyback = new Job(shippedBoard('bench-flyback'));

/** The sets of readings that may be wrong, heaviest first, by place among the lines. */
function wrong(says: readonly string[]): number[][] {
  const { wrongSets } = flyback.after(says).diagnosis;
  return wrongSets.map(({ readings }) => readings.map((id) => id - FIRST_LINE));
}

/** Number of the event that the first line becomes. */
const FIRST_LINE = 2;

describe('sets of readings that may be wrong', () => {
  it('are none while all agree', () => {
    expect(wrong(['HV PGND beep', 'V24 SGND quiet'])).toEqual([]);
  });

  it('name the one reading against two', () => {
    const sets = wrong(['V5 SGND 0.2 ohm', 'V5 SGND OL', 'V5 SGND 0.2 ohm', 'V24 SGND quiet']);
    expect(sets[0]).toEqual([1]);
  });

  it('hold no set of which a part weighs as much', () => {
    const says = ['HV PGND beep', 'HV PGND OL', 'V24 SGND beep', 'V24 SGND OL', 'V24 SGND quiet'];
    const { wrongSets } = flyback.after(says).diagnosis;
    expect(wrongSets.length).toBeGreaterThan(1);
    for (const one of wrongSets) {
      for (const other of wrongSets) {
        const within = other.readings.every((id) => one.readings.includes(id));
        if (within && other.readings.length < one.readings.length) {
          expect(other.weight).toBeLessThan(one.weight);
        }
      }
    }
  });
});
