import fc from 'fast-check';
import { expect, test } from 'vitest';
import { addOuter, cholesky, conditioned, solve } from '../../../src/faults/copper/gauss.ts';
import { type OhmsComponent, ohmsComponents } from '../../../src/faults/copper/ohms-prior.ts';
import {
  type CopperCase,
  covariance,
  type Measured,
  meanOf,
  prepare,
  type Settled,
  weighCase,
} from '../../../src/faults/copper/weigh-case.ts';

const N = 4;
const small = fc.double({ min: 0.001, max: 0.2, noNaN: true });
const vector = fc.array(small, { minLength: N, maxLength: N }).map((x) => Float64Array.from(x));

const copperCase: fc.Arbitrary<CopperCase> = fc
  .record({
    layout: vector,
    other: vector,
    errors: fc.array(vector, { minLength: 2, maxLength: 3 }),
  })
  .map(({ layout, other, errors }) => {
    const copper = new Float64Array(N * N);
    for (const error of errors) addOuter(copper, error, 0.1);
    return {
      layouts: [layout, other],
      copper,
      linkOhms: new Float64Array(N),
      links: new Float64Array(N * N),
      share: new Float64Array(N).fill(1),
    };
  });

const measured: fc.Arbitrary<Measured> = vector.map((ohms) => ({
  ohms,
  noise: new Float64Array(N).fill(1e-3),
  gain: 0.005,
  slip: 0.02,
  logSlip: ohms.map((own) => -Math.log(10 * own)),
}));

/** Density of some values of a Gaussian, by the textbook. */
function density(values: readonly number[], means: readonly number[], s: Float64Array): number {
  const n = values.length;
  const factor = cholesky(s, n);
  const error = Float64Array.from(values, (value, k) => value - means[k]!);
  const quad = solve(factor, error).reduce((sum, x, k) => sum + x * error[k]!, 0);
  return Math.exp(-0.5 * (quad + factor.logDet + n * Math.log(2 * Math.PI)));
}

/** One term of the sum, with every reading right or any one of them a slip, gone through one by one. */
function plainly(one: CopperCase, was: Measured, scale: number, short: OhmsComponent): number {
  const s = covariance(one, scale);
  for (let k = 0; k < N; k++) s[k * N + k]! += was.noise[k]! ** 2;
  addOuter(s, was.ohms, was.gain ** 2);
  addOuter(s, one.share, short.deviation ** 2);
  const means = [...was.ohms].map((_, k) => meanOf(one, scale, k) + short.mean * one.share[k]!);
  const right = 1 - was.slip;
  let sum = right ** N * density([...was.ohms], means, s);
  for (let wrong = 0; wrong < N; wrong++) {
    const kept = [0, 1, 2, 3].filter((k) => k !== wrong);
    const part = Float64Array.from(kept.flatMap((r) => kept.map((c) => s[r * N + c]!)));
    const others = density(
      kept.map((k) => was.ohms[k]!),
      kept.map((k) => means[k]!),
      part,
    );
    sum += was.slip * right ** (N - 1) * Math.exp(was.logSlip[wrong]!) * others;
  }
  return sum;
}

test('readings along copper weigh what going through slips one by one says', () => {
  fc.assert(
    fc.property(copperCase, measured, (one, was) => {
      const terms: Settled[] = [];
      const log = weighCase(
        prepare(one, was),
        was,
        ohmsComponents(0.1, 1, 5),
        (scale, short, own) => terms.push({ scale, short, log: own }),
      );
      for (const { scale, short, log: own } of terms) {
        const expected = plainly(one, was, scale, short);
        const weight = terms.length === 15 ? short.weight * (scale === 1 ? 0.5 : 0.25) : Number.NaN;
        // A density too small for a number is as small by both ways.
        if (own < -700) expect(expected).toBeLessThan(1e-290);
        else expect(Math.exp(own) / (weight * expected)).toBeCloseTo(1, 6);
      }
      const sum = terms.reduce((all, term) => all + Math.exp(term.log), 0);
      if (log > -700) expect(Math.exp(log) / sum).toBeCloseTo(1, 9);
    }),
    { numRuns: 50 },
  );
});

test('the components of unknown ohms have the median and the spread they stand for', () => {
  fc.assert(
    fc.property(fc.double({ min: 0.01, max: 3, noNaN: true }), (median) => {
      const parts = ohmsComponents(median, 1.2, 11);
      expect(parts.reduce((sum, { weight }) => sum + weight, 0)).toBeCloseTo(1, 12);
      const below = parts.filter(({ mean }) => mean < median * 0.999);
      expect(below.reduce((sum, { weight }) => sum + weight, 0)).toBeLessThan(0.5);
      const spread = Math.sqrt(
        parts.reduce((sum, { weight, mean }) => sum + weight * Math.log(mean / median) ** 2, 0),
      );
      expect(spread / 1.2).toBeGreaterThan(0.85);
      expect(spread / 1.2).toBeLessThan(1.1);
    }),
  );
});

test('what is foreseen of the last values is the whole density over that of the first', () => {
  fc.assert(
    fc.property(copperCase, measured, vector, (one, was, means) => {
      const s = covariance(one, 1);
      for (let k = 0; k < N; k++) s[k * N + k]! += 1e-4;
      const first = [was.ohms[0]!, was.ohms[1]!];
      const foreseen = conditioned([...means], s, first);
      const last = [was.ohms[2]!, was.ohms[3]!];
      const own = Float64Array.from([s[0]!, s[1]!, s[N]!, s[N + 1]!]);
      const expected =
        density([...first, ...last], [...means], s) / density(first, [means[0]!, means[1]!], own);
      const seen = density(last, [...foreseen.mean], foreseen.covariance);
      expect(seen / expected).toBeCloseTo(1, 6);
    }),
    { numRuns: 60 },
  );
});
