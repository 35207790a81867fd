import fc from 'fast-check';
import { expect, test } from 'vitest';
import { flowOf, type Pair, voltsIn } from '../../../src/circuit/copper/copper-path.ts';
import type { Layout } from '../../../src/circuit/copper/layout.ts';
import { MeshReadings } from '../../../src/circuit/copper/mesh-sketch.ts';
import type { Pad } from '../../../src/circuit/copper/pads.ts';
import { planeLayout } from '../../../src/circuit/copper/plane.ts';
import { CopperSide } from '../../../src/circuit/copper/side.ts';
import { sketchSide } from '../../../src/circuit/copper/sketch.ts';
import { tracesLayout } from '../../../src/circuit/copper/traces.ts';
import { TreeReadings } from '../../../src/circuit/copper/tree-sketch.ts';
import { TwoShorts } from '../../../src/circuit/copper/two-shorts.ts';
import { Network } from '../../../src/circuit/network.ts';

const COUNT = 8;
const spots = fc.array(fc.tuple(fc.integer({ min: 0, max: 60 }), fc.integer({ min: 0, max: 40 })), {
  minLength: COUNT,
  maxLength: COUNT,
});
const ohms = fc.double({ min: 0.005, max: 2, noNaN: true });
const pick = fc.integer({ min: 0, max: COUNT - 1 });

/** Pads of as many parts, first pin on the first side: pins 0… and 100…. */
function pads(at: readonly (readonly [number, number])[], from: number): Pad[] {
  return at.map((spot, k) => ({ pin: from + k, net: from, at: spot }));
}

function sidesOf(
  at: readonly (readonly [number, number])[],
  shape: 'traces' | 'plane',
  variant: number,
): [CopperSide, CopperSide] {
  const layout = (own: Pad[]): Layout =>
    shape === 'plane' ? planeLayout(own) : tracesLayout(own, {}, variant);
  return [
    new CopperSide([layout(pads(at, 0))], [], () => true),
    new CopperSide([layout(pads(at, 100))], [], () => true),
  ];
}

const cases = fc.record({
  at: spots,
  shape: fc.constantFrom('traces' as const, 'plane' as const),
  variant: fc.integer({ min: 0, max: 5 }),
  shorts: fc.uniqueArray(fc.tuple(pick, ohms), {
    minLength: 1,
    maxLength: 3,
    selector: ([k]) => k,
  }),
  read: pick,
  other: pick,
});

/** Both sides and the shorts as one network, with nothing of ours but its nodal matrix. */
function whole(
  sides: readonly [CopperSide, CopperSide],
  layouts: readonly [Layout, Layout],
  shorts: readonly (readonly [number, number])[],
): { network: Network; node: (pin: number) => number } {
  const node = (pin: number): number =>
    pin < 100
      ? (layouts[0].nodeOf.get(pin) as number)
      : layouts[0].nodeCount + (layouts[1].nodeOf.get(pin) as number);
  const second = sides[1].stretches.map(({ a, b, ohms: own }) => {
    return { a: a + layouts[0].nodeCount, b: b + layouts[0].nodeCount, ohms: own };
  });
  const joints = shorts.map(([k, own]) => ({ a: node(k), b: node(100 + k), ohms: own }));
  const branches = [...sides[0].stretches, ...second, ...joints];
  return { network: new Network(layouts[0].nodeCount + layouts[1].nodeCount, branches), node };
}

test('a four-wire reading is the resistance of copper and shorts taken as one network', () => {
  fc.assert(
    fc.property(cases, ({ at, shape, variant, shorts, read }) => {
      const sides = sidesOf(at, shape, variant);
      const make = (from: number): Layout =>
        shape === 'plane' ? planeLayout(pads(at, from)) : tracesLayout(pads(at, from), {}, variant);
      const { network, node } = whole(sides, [make(0), make(100)], shorts);
      const crossings = shorts.map(([k, own]) => ({ pins: [k, 100 + k] as const, ohms: own }));
      const pair: Pair = { red: read, black: 100 + read };
      const flow = flowOf(sides, crossings, pair);
      expect(flow).toBeDefined();
      const expected = network.resistance(node(read), node(100 + read));
      expect(voltsIn(sides, crossings, flow!, pair) / expected).toBeCloseTo(1, 7);
    }),
    { numRuns: 60 },
  );
});

test('volts along one side under a current are those of the whole network', () => {
  fc.assert(
    fc.property(cases, ({ at, shape, variant, shorts, read, other }) => {
      fc.pre(read !== other);
      const sides = sidesOf(at, shape, variant);
      const make = (from: number): Layout =>
        shape === 'plane' ? planeLayout(pads(at, from)) : tracesLayout(pads(at, from), {}, variant);
      const { network, node } = whole(sides, [make(0), make(100)], shorts);
      const crossings = shorts.map(([k, own]) => ({ pins: [k, 100 + k] as const, ohms: own }));
      const flow = flowOf(sides, crossings, { red: 0, black: 100 })!;
      const volts = network.voltages(node(0), node(100), []);
      const expected = volts(node(read))! - volts(node(other))!;
      const seen = voltsIn(sides, crossings, flow, { red: read, black: other });
      expect(Math.abs(seen - expected)).toBeLessThan(1e-9);
    }),
    { numRuns: 60 },
  );
});

test('the power along the copper, by layout, adds up to the reading less the short itself', () => {
  fc.assert(
    fc.property(cases, ({ at, shape, variant, shorts, read, other }) => {
      const sides = sidesOf(at, shape, variant);
      const crossings = shorts.map(([k, own]) => ({ pins: [k, 100 + k] as const, ohms: own }));
      const drive = flowOf(sides, crossings, { red: read, black: 100 + read })!;
      const pair: Pair = { red: other, black: 100 + other };
      const sense = flowOf(sides, crossings, pair)!;
      const parts = ([0, 1] as const).map((k) => sketchSide([{ drive, sense, sides }], k));
      const copper = parts
        .flatMap((own) => own.parts.map((part) => part[0]!))
        .reduce((x, y) => x + y);
      const own = crossings.reduce(
        (sum, crossing, k) => sum + crossing.ohms * drive.crossings[k]! * sense.crossings[k]!,
        0,
      );
      expect(Math.abs(copper + own - voltsIn(sides, crossings, drive, pair))).toBeLessThan(1e-9);
    }),
    { numRuns: 60 },
  );
});

test('on a tree two readings share the variance of the way they share: half of the sum less the difference', () => {
  fc.assert(
    fc.property(spots, pick, pick, pick, (at, short, one, other) => {
      const sides = sidesOf(at, 'traces', 0);
      const crossing = { pins: [short, 100 + short] as const, ohms: 0.1 };
      const reading = (k: number) => {
        const flow = flowOf(sides, [crossing], { red: k, black: 100 + k })!;
        return { drive: flow, sense: flow, sides };
      };
      const { copper } = sketchSide([reading(one), reading(other)], 0);
      // The variance of the ohms between two pads, from a current that goes between them alone.
      const between = (a: number, b: number): number => {
        const flow = flowOf(sides, [], { red: a, black: b })!;
        return sketchSide([{ drive: flow, sense: flow, sides }], 0).copper[0]!;
      };
      const shared = (between(one, short) + between(other, short) - between(one, other)) / 2;
      expect(Math.abs(copper[1]! - shared)).toBeLessThan(1e-12);
    }),
    { numRuns: 60 },
  );
});

test('how a reading moves with one stretch is what its error is made of', () => {
  fc.assert(
    fc.property(spots, pick, pick, fc.nat(), (at, short, read, which) => {
      const layout = planeLayout(pads(at, 0));
      const other = tracesLayout(pads(at, 100));
      const k = which % layout.stretches.length;
      const withStretch = (factor: number): number => {
        const stretches = layout.stretches.map((one, n) =>
          n === k ? { ...one, ohms: one.ohms * factor } : one,
        );
        const sides = [
          new CopperSide([{ ...layout, stretches }], [], () => true),
          new CopperSide([other], [], () => true),
        ] as const;
        const crossing = { pins: [short, 100 + short] as const, ohms: 0.1 };
        const pair = { red: read, black: 100 + read };
        return voltsIn(sides, [crossing], flowOf(sides, [crossing], pair)!, pair);
      };
      const sides = [
        new CopperSide([layout], [], () => true),
        new CopperSide([other], [], () => true),
      ] as const;
      const flow = flowOf(sides, [{ pins: [short, 100 + short], ohms: 0.1 }], {
        red: read,
        black: 100 + read,
      })!;
      const { at: found, amps } = sides[0].currents(flow.feeds[0]);
      const i = amps[found.indexOf(k)] ?? 0;
      const step = 1e-4;
      const slope = (withStretch(1 + step) - withStretch(1 - step)) / (2 * step);
      expect(Math.abs(slope - layout.stretches[k]!.ohms * i * i)).toBeLessThan(1e-9);
    }),
    { numRuns: 30 },
  );
});

test('two shorts read the same by the quick way as by the flow through both', () => {
  fc.assert(
    fc.property(cases, ohms, ohms, ({ at, shape, variant, read, other }, x, y) => {
      fc.pre(read !== other);
      const sides = sidesOf(at, shape, variant);
      const crossings = [
        { pins: [read, 100 + read] as const, ohms: x },
        { pins: [other, 100 + other] as const, ohms: y },
      ];
      const pairs: Pair[] = [
        { red: 0, black: 100 },
        { red: 3, black: 105 },
      ];
      const taken = [
        ...pairs.map((pair) => ({ sides, drive: pair, sense: pair })),
        { sides, drive: pairs[0]!, sense: { red: 1, black: 4 } },
        { sides, drive: pairs[1]!, sense: { red: 102, black: 6 } },
      ];
      const quick = new TwoShorts(taken).readings([crossings[0]!.pins, crossings[1]!.pins], [x, y]);
      taken.forEach(({ drive, sense }, n) => {
        const seen = voltsIn(sides, crossings, flowOf(sides, crossings, drive)!, sense);
        expect(Math.abs(quick[n]! - seen)).toBeLessThan(1e-9);
      });
    }),
    { numRuns: 60 },
  );
});

test('a plane of copper reads about what the sheet between two round pads would', () => {
  // Two contacts of radius ρ, d apart on a large sheet: Rs/π · ln(d/ρ).
  const at = Array.from({ length: 81 }, (_, k) => [10 * (k % 9), 10 * Math.floor(k / 9)] as const);
  const side = new CopperSide([planeLayout(pads(at, 0))], [], () => true);
  const flow = flowOf([side, side], [], { red: 38, black: 42 })!;
  const seen = side.between(flow.feeds[0], 38, 42);
  const ways = 2 * 0.35e-3; // each pad's own way into the plane
  const sheet = (0.5e-3 / Math.PI) * Math.log(40 / 0.4) + ways;
  expect(seen / sheet).toBeGreaterThan(0.9);
  expect(seen / sheet).toBeLessThan(1.25);
});

test('a plane says of readings to a short what currents through it say', () => {
  fc.assert(
    fc.property(
      spots,
      pick,
      fc.uniqueArray(pick, { minLength: 2, maxLength: 5 }),
      (at, short, read) => {
        const [side, other] = sidesOf(at, 'plane', 0);
        const crossing = { pins: [short, 100 + short] as const, ohms: 0.1 };
        const sensings = read.map((k) => {
          const flow = flowOf([side, other], [crossing], { red: k, black: 100 + k })!;
          return { drive: flow, sense: flow, sides: [side, other] as const };
        });
        const slow = sketchSide(sensings, 0);
        const quick = new MeshReadings(side, read).sketch(short);
        const flat = ({ parts, copper, links }: typeof slow): number[] =>
          [...parts, copper, links].flatMap((values) => [...values]);
        const values = flat(quick);
        flat(slow).forEach((value, k) => {
          expect(Math.abs(value - values[k]!)).toBeLessThan(1e-12);
        });
      },
    ),
    { numRuns: 40 },
  );
});

test('ways over a tree of several nets and links say what currents through it say', () => {
  fc.assert(
    fc.property(
      spots,
      pick,
      fc.uniqueArray(pick, { minLength: 2, maxLength: 5 }),
      fc.integer({ min: 0, max: 20 }),
      (at, short, read, variant) => {
        const near = pads(at, 0);
        const far = near.map((pad) => ({ ...pad, pin: 200 + pad.pin }));
        const layouts = [tracesLayout(near, {}, variant), tracesLayout(far, {}, variant + 1)];
        const link = { part: 0, pinA: 3, pinB: 205, ohms: 0.05, spread: 0.1 };
        const side = new CopperSide(layouts, [link], () => true);
        const other = new CopperSide([tracesLayout(pads(at, 100))], [], () => true);
        const crossing = { pins: [200 + short, 100 + short] as const, ohms: 0.1 };
        const pairs = read.map((k): Pair => ({ red: k, black: 100 + k }));
        const sensings = pairs.map((pair) => {
          const flow = flowOf([side, other], [crossing], pair)!;
          return { drive: flow, sense: flow, sides: [side, other] as const };
        });
        const slow = sketchSide(sensings, 0);
        const quick = new TreeReadings(side, read).sketch(200 + short);
        const meshed = new MeshReadings(side, read).sketch(200 + short);
        const flat = ({ parts, copper, links }: typeof slow): number[] => [
          ...parts.flatMap((part) => [...part]),
          ...copper,
          ...links,
        ];
        for (const found of [quick, meshed]) {
          const values = flat(found);
          flat(slow).forEach((value, k) => {
            expect(Math.abs(value - values[k]!)).toBeLessThan(1e-12);
          });
        }
      },
    ),
    { numRuns: 60 },
  );
});
