import fc from 'fast-check';
import { expect, test } from 'vitest';
import { FamilyReadings } from '../../../src/circuit/copper/family-sketch.ts';
import { MeshReadings } from '../../../src/circuit/copper/mesh-sketch.ts';
import { planeLayout } from '../../../src/circuit/copper/plane.ts';
import { CopperSide } from '../../../src/circuit/copper/side.ts';
import type { WayReadings } from '../../../src/circuit/copper/side-readings.ts';
import { tracesLayout } from '../../../src/circuit/copper/traces.ts';
import { TreeReadings } from '../../../src/circuit/copper/tree-sketch.ts';

const COUNT = 8;
const spot = fc.tuple(fc.integer({ min: 0, max: 60 }), fc.integer({ min: 0, max: 40 }));
const spots = fc.array(spot, { minLength: COUNT, maxLength: COUNT });
const pick = fc.integer({ min: 0, max: COUNT - 1 });
const weights = fc.array(fc.double({ min: -1, max: 1, noNaN: true }), {
  minLength: 5,
  maxLength: 5,
});

type Spots = readonly (readonly [number, number])[];

function padsAt(at: Spots, from: number) {
  return at.map((own, k) => ({ pin: from + k, net: from, at: own }));
}

/** Two nets joined by a link, in one of many ways. */
function treeWay(at: Spots, variant: number, read: readonly number[]): WayReadings {
  const layout = (from: number, more: number) => tracesLayout(padsAt(at, from), {}, variant + more);
  const link = { part: 0, pinA: 3, pinB: 205, ohms: 0.05, spread: 0.1 };
  const side = new CopperSide([layout(0, 0), layout(200, 1)], [link], () => true);
  return new TreeReadings(side, read);
}

/** Mean and variance of a weighted sum of the readings: what all ways have in common is their mean. */
function along({ parts, copper, links }: ReturnType<WayReadings['sketch']>, own: number[]) {
  const n = parts[0]!.length;
  const sum = (value: (k: number) => number) =>
    Array.from({ length: n }, (_, k) => own[k]! * value(k)).reduce((x, y) => x + y, 0);
  const layouts = parts.slice(0, -1);
  return {
    copperOhms: sum((k) => layouts.reduce((all, part) => all + part[k]!, 0)),
    linkOhms: sum((k) => parts.at(-1)![k]!),
    variance: sum((r) => sum((c) => copper[r * n + c]!)),
    links: sum((r) => sum((c) => links[r * n + c]!)),
  };
}

const meanOf = (values: readonly number[]) => values.reduce((x, y) => x + y, 0) / values.length;

test('a family has the mean of its ways, what each leaves open, and what they differ by', () => {
  fc.assert(
    fc.property(
      spots,
      pick,
      fc.uniqueArray(pick, { minLength: 1, maxLength: 5 }),
      fc.integer({ min: 2, max: 5 }),
      weights,
      (at, short, read, count, own) => {
        const ways = Array.from({ length: count }, (_, n) => treeWay(at, 3 * n, read));
        const whole = along(new FamilyReadings(ways, read.length).sketch(200 + short), own);
        const each = ways.map((way) => along(way.sketch(200 + short), own));
        const mean = meanOf(each.map(({ copperOhms }) => copperOhms));
        expect(whole.copperOhms).toBeCloseTo(mean, 10);
        expect(whole.linkOhms).toBeCloseTo(meanOf(each.map(({ linkOhms }) => linkOhms)), 10);
        expect(whole.links).toBeCloseTo(meanOf(each.map(({ links }) => links)), 10);
        // Of a way not among them, the mean known from so many: sample variance and that of the mean.
        const squares = each.map(({ copperOhms }) => (copperOhms - mean) ** 2);
        const between = (meanOf(squares) * count) / (count - 1);
        const within = meanOf(each.map(({ variance }) => variance));
        expect(whole.variance).toBeCloseTo(within + between * (1 + 1 / count), 10);
      },
    ),
    { numRuns: 60 },
  );
});

test('a family of one plane is that plane', () => {
  const at = Array.from({ length: 9 }, (_, k) => [7 * (k % 3), 7 * Math.floor(k / 3)] as const);
  const side = new CopperSide([planeLayout(padsAt(at, 0))], [], () => true);
  const plane = new MeshReadings(side, [0, 5]);
  const family = new FamilyReadings([plane], 2);
  expect(family.sketch(7)).toEqual(plane.sketch(7));
});

test('a short that no way of the copper leads to is not reached', () => {
  const alone = [{ pin: 9, net: 1, at: [9, 9] as const }];
  const near = padsAt(
    [
      [0, 0],
      [1, 0],
      [2, 0],
    ],
    0,
  );
  const side = new CopperSide([tracesLayout(near), tracesLayout(alone)], [], () => true);
  const family = new FamilyReadings([new TreeReadings(side, [0, 1])], 2);
  expect(family.reaches(9)).toBe(false);
  expect(family.reaches(2)).toBe(true);
});
