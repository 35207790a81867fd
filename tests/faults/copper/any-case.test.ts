import fc from 'fast-check';
import { expect, test } from 'vitest';
import { anyCase } from '../../../src/faults/copper/any-case.ts';
import { addOuter, dot } from '../../../src/faults/copper/gauss.ts';
import { type CopperCase, covariance, meanOf } from '../../../src/faults/copper/weigh-case.ts';

const N = 3;
const vector = fc
  .array(fc.double({ min: 0.001, max: 0.2, noNaN: true }), { minLength: N, maxLength: N })
  .map((x) => Float64Array.from(x));

const copperCase: fc.Arbitrary<CopperCase> = fc
  .record({ layouts: fc.tuple(vector, vector), error: vector, links: vector })
  .map(({ layouts, error, links }) => {
    const copper = new Float64Array(N * N);
    addOuter(copper, error, 0.1);
    return {
      layouts,
      copper,
      linkOhms: links,
      links: new Float64Array(N * N),
      share: new Float64Array(N).fill(1),
    };
  });

/** Mean and variance of a weighted sum of the readings, what all layouts are off by together left out. */
function along(one: CopperCase, weights: Float64Array): { mean: number; variance: number } {
  const means = Float64Array.from({ length: N }, (_, k) => meanOf(one, 1, k));
  const rows = Float64Array.from({ length: N }, (_, r) =>
    dot(one.copper.slice(r * N, (r + 1) * N), weights),
  );
  return { mean: dot(means, weights), variance: dot(rows, weights) };
}

test('any of several cases has their mean, and the variance within them and between them', () => {
  fc.assert(
    fc.property(fc.array(copperCase, { minLength: 1, maxLength: 5 }), vector, (cases, weights) => {
      // Links differ by nothing here, as they are the same parts in every case.
      const same = cases.map((one) => ({ ...one, linkOhms: (cases[0] as CopperCase).linkOhms }));
      const whole = along(anyCase(same), weights);
      const own = same.map((one) => along(one, weights));
      const mean = own.reduce((sum, one) => sum + one.mean, 0) / own.length;
      const within = own.reduce((sum, one) => sum + one.variance, 0) / own.length;
      const between = own.reduce((sum, one) => sum + (one.mean - mean) ** 2, 0) / own.length;
      expect(whole.mean).toBeCloseTo(mean, 10);
      expect(whole.variance).toBeCloseTo(within + between, 10);
    }),
  );
});

test('one case alone, or several times the same, is that case', () => {
  fc.assert(
    fc.property(copperCase, fc.integer({ min: 1, max: 4 }), (one, count) => {
      const whole = anyCase(Array.from({ length: count }, () => one));
      covariance(one, 1).forEach((value, k) => {
        expect(covariance(whole, 1)[k]).toBeCloseTo(value, 10);
      });
    }),
  );
});
