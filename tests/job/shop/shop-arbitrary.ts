import fc from 'fast-check';
import { DEFAULT_SHOP, type Shop } from '../../../src/job/shop/shop.ts';

const minutes = fc.double({ min: 0.01, max: 600, noNaN: true });
const share = fc.double({ min: 1e-6, max: 0.999, noNaN: true });
const factor = fc.double({ min: 1, max: 1000, noNaN: true });
const money = fc.double({ min: 0, max: 1e9, noNaN: true }).map(Math.abs);
const label = fc
  .string({ unit: 'grapheme', minLength: 1, maxLength: 20 })
  .filter((text) => /^(?! )[^\p{C}]+(?<! )$/u.test(text) && !RESERVED.has(text));

const RESERVED = new Set(['__proto__', 'constructor', 'prototype']);

/** The same keys as the object given, each with a number of its own. */
function numbersLike<T extends object>(
  like: T,
  number: fc.Arbitrary<number>,
): fc.Arbitrary<{ [K in keyof T]: number }> {
  const keys = Object.fromEntries(Object.keys(like).map((key) => [key, number]));
  return fc.record(keys) as unknown as fc.Arbitrary<{ [K in keyof T]: number }>;
}

const { benchTimes, stageTimes } = DEFAULT_SHOP;

const times = fc
  .tuple(
    numbersLike(benchTimes, minutes),
    numbersLike(benchTimes.reading, minutes),
    numbersLike(benchTimes.remove, minutes),
    numbersLike(benchTimes.fit, minutes),
  )
  .map(([all, reading, remove, fit]) => ({ ...all, reading, remove, fit }));

/** Settings a file may say, with any of what has no default. */
export const arbitraryShop: fc.Arbitrary<Shop> = fc.record(
  {
    shop: label,
    benchTimes: times,
    stageTimes: numbersLike(stageTimes, minutes),
    policies: fc.record({
      renewBanksAsSets: fc.boolean(),
      healthyPartOff: minutes,
      replaceOnSuspicion: fc.record(
        {
          kinds: fc.array(label, { maxLength: 3 }),
          upTo: money,
          from: fc.double({ min: 0.01, max: 1, noNaN: true }),
        },
        { requiredKeys: ['kinds', 'from'] },
      ),
    }),
    doubts: fc.record({
      expectedFaults: fc.double({ min: 0.01, max: 20, noNaN: true }),
      slip: share,
      wrongForGood: share,
      unlistedLink: share,
      brokenCopper: share,
      bankTogether: share,
      heatsinkFactor: factor,
      failsFirstFactor: factor,
      fuseFactor: factor,
      sureFrom: fc.double({ min: 0.5, max: 0.999, noNaN: true }),
      fitUnreadFrom: fc.oneof(share, fc.constant(1)),
      clearBelow: fc.double({ min: 1e-6, max: 0.49, noNaN: true }),
      renewFrom: share,
      unreadFaults: fc.double({ min: 0.0001, max: 1, noNaN: true }),
    }),
    thresholds: fc.record({
      injection: fc.record({
        mostVolts: fc.double({ min: 0.1, max: 0.3, noNaN: true }),
        mostAmps: fc.double({ min: 0.01, max: 1, noNaN: true }),
      }),
      discharge: fc.record({
        warnVolts: fc.double({ min: 0.01, max: 1, noNaN: true }),
        refuseVolts: fc.double({ min: 1, max: 60, noNaN: true }),
        refuseJoules: fc.double({ min: 0.001, max: 10, noNaN: true }),
      }),
      soak: fc.record({ minutes, observeEvery: minutes }),
      awayAfter: minutes,
      worthUpTo: fc.double({ min: 0.01, max: 10, noNaN: true }),
    }),
    memory: fc.record(
      {
        use: fc.boolean(),
        records: label,
        database: label,
        customersWords: fc.boolean(),
        handbooksCount: fc.double({ min: 1, max: 1e5, noNaN: true }),
        halfAfter: fc.double({ min: 1, max: 1e6, noNaN: true }),
      },
      { requiredKeys: ['use', 'customersWords', 'handbooksCount', 'halfAfter'] },
    ),
    meter: label,
    sound: fc.boolean(),
    checks: fc.array(fc.record({ check: label, boards: fc.array(label, { maxLength: 2 }) }), {
      maxLength: 3,
    }),
    currency: fc.oneof(fc.constant(''), label),
    hourlyRate: money,
    prices: fc.record(
      { list: label, usual: fc.array(fc.tuple(label, money)).map((rows) => new Map(rows)) },
      { requiredKeys: ['usual'] },
    ),
    boards: fc
      .array(
        fc.tuple(
          label,
          money.map((value) => ({ value })),
        ),
      )
      .map((rows) => new Map(rows)),
  },
  {
    requiredKeys: [
      'benchTimes',
      'stageTimes',
      'policies',
      'doubts',
      'thresholds',
      'memory',
      'sound',
      'checks',
      'currency',
      'prices',
      'boards',
    ],
  },
);
