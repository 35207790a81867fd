import fc from 'fast-check';
import { expect, test } from 'vitest';
import { AS_FOUND, withOff } from '../../../src/circuit/state.ts';
import type { CopperReading } from '../../../src/faults/copper/copper-readings.ts';
import { byWhoLeftFirst, haveParted } from '../../../src/faults/copper/departed.ts';
import type { Short } from '../../../src/faults/copper/short.ts';

const PARTS = 4;

function shortOf(part: number): Short {
  return {
    key: String(part),
    places: [[2 * part, 2 * part + 1]],
    median: 0.1,
    spread: 1,
    actsIn: ({ off }) => !off.has(part),
  };
}

/** Readings while one part after the other comes off; how many came before each. */
const jobs = fc
  .record({
    order: fc.shuffledSubarray([0, 1, 2, 3], { minLength: 1, maxLength: PARTS }),
    counts: fc.array(fc.nat(3), { minLength: PARTS + 1, maxLength: PARTS + 1 }),
    shorts: fc.uniqueArray(fc.nat(PARTS - 1), { minLength: 1, maxLength: 3 }),
  })
  .map(({ order, counts, shorts }) => {
    const readings: CopperReading[] = [];
    let state = AS_FOUND;
    const read = (count: number): void => {
      for (let k = 0; k < count; k++) {
        const pair = { red: 0, black: 1 };
        const id = readings.length;
        readings.push({ id, state, drive: pair, sense: pair, ohms: 0.1, noise: 1e-4 });
      }
    };
    read(counts[0] as number);
    order.forEach((part, k) => {
      state = withOff(state, [part]);
      read(counts[k + 1] as number);
    });
    return { readings, shorts: shorts.map(shortOf) };
  });

test('every reading goes to one of the shorts that were in circuit, and to the one that left first', () => {
  fc.assert(
    fc.property(jobs, ({ readings, shorts }) => {
      const { shares, rest } = byWhoLeftFirst(shorts, readings);
      const dealt = [...rest, ...shares.flatMap(({ own }) => own)];
      expect(dealt.map(({ id }) => id).sort((x, y) => x - y)).toEqual(readings.map(({ id }) => id));
      for (const { state } of rest) expect(shorts.some((short) => short.actsIn(state))).toBe(false);
      for (const { short, own } of shares) {
        for (const { state } of own) {
          expect(short.actsIn(state)).toBe(true);
          for (const other of shorts) {
            if (!other.actsIn(state)) continue;
            const later = readings.filter((one) => other.actsIn(one.state)).length;
            const mine = readings.filter((one) => short.actsIn(one.state)).length;
            expect(mine).toBeLessThanOrEqual(later);
          }
        }
      }
    }),
  );
});

test('shorts have parted where a reading was taken with some of them in circuit and others not', () => {
  fc.assert(
    fc.property(jobs, ({ readings, shorts }) => {
      const parted = readings.some(({ state }) => {
        const acting = shorts.map((short) => short.actsIn(state));
        return acting.includes(true) && acting.includes(false);
      });
      expect(haveParted(shorts, readings)).toBe(parted);
    }),
  );
});
