import fc from 'fast-check';
import { expect, test } from 'vitest';
import { CopperSide } from '../../../src/circuit/copper/side.ts';
import { tracesLayout } from '../../../src/circuit/copper/traces.ts';
import { TreeReadings } from '../../../src/circuit/copper/tree-sketch.ts';
import { anyCase } from '../../../src/faults/copper/any-case.ts';
import { anyPlainCase } from '../../../src/faults/copper/any-plain-case.ts';
import type { CopperCase } from '../../../src/faults/copper/weigh-case.ts';

const COUNT = 8;
const spot = fc.tuple(fc.integer({ min: 0, max: 60 }), fc.integer({ min: 0, max: 40 }));
const spots = fc.array(spot, { minLength: COUNT, maxLength: COUNT });
const pick = fc.integer({ min: 0, max: COUNT - 1 });

type TreeWay = readonly [TreeReadings, TreeReadings];
type Spots = readonly (readonly [number, number])[];

/** Two nets joined by a link, and the net across, each in one of many ways. */
function wayOf(at: Spots, variant: number, read: readonly number[]): TreeWay {
  const pads = (from: number) => at.map((own, k) => ({ pin: from + k, net: from, at: own }));
  const layout = (from: number, more: number) => tracesLayout(pads(from), {}, variant + more);
  const link = { part: 0, pinA: 3, pinB: 205, ohms: 0.05, spread: 0.1 };
  const near = new CopperSide([layout(0, 0), layout(200, 1)], [link], () => true);
  const far = new CopperSide([layout(100, 2)], [], () => true);
  return [
    new TreeReadings(near, [...read]),
    new TreeReadings(
      far,
      read.map((k) => 100 + k),
    ),
  ];
}

function sum(x: Float64Array, y: Float64Array): Float64Array {
  return x.map((value, k) => value + y[k]!);
}

/** One way by itself: what both sides add. */
function caseOf([near, far]: TreeWay, place: readonly [number, number]): CopperCase {
  const [one, other] = [near.sketch(place[0]), far.sketch(place[1])];
  return {
    layouts: [...one.parts.slice(0, -1), ...other.parts.slice(0, -1)],
    copper: sum(one.copper, other.copper),
    linkOhms: sum(one.parts.at(-1)!, other.parts.at(-1)!),
    links: sum(one.links, other.links),
    share: new Float64Array(one.parts[0]!.length).fill(1),
  };
}

test('trees summed as they are gone through say what each by itself says, taken together', () => {
  fc.assert(
    fc.property(
      spots,
      pick,
      fc.uniqueArray(pick, { minLength: 1, maxLength: 5 }),
      fc.integer({ min: 1, max: 4 }),
      (at, short, read, count) => {
        const ways = Array.from({ length: count }, (_, n) => wayOf(at, 3 * n, read));
        const place = [200 + short, 100 + short] as const;
        const quick = anyPlainCase(ways, place, read.length)!;
        const slow = anyCase(ways.map((way) => caseOf(way, place)));
        const flat = ({ layouts, copper, linkOhms, links, share }: CopperCase): number[] =>
          [...layouts, copper, linkOhms, links, share].flatMap((values) => [...values]);
        const expected = flat(slow);
        expect(flat(quick)).toHaveLength(expected.length);
        flat(quick).forEach((value, k) => {
          expect(Math.abs(value - expected[k]!)).toBeLessThan(1e-12);
        });
      },
    ),
    { numRuns: 60 },
  );
});

test('a short that no way of the copper leads to is no case', () => {
  const pads = Array.from({ length: 4 }, (_, k) => ({ pin: k, net: 0, at: [k, 0] as const }));
  const alone = [{ pin: 9, net: 1, at: [9, 9] as const }];
  const side = new CopperSide([tracesLayout(pads), tracesLayout(alone)], [], () => true);
  const way = [new TreeReadings(side, [0, 1]), new TreeReadings(side, [2, 3])] as const;
  expect(anyPlainCase([way], [9, 9], 2)).toBeUndefined();
  expect(anyPlainCase([way], [2, 2], 2)).toBeDefined();
});
