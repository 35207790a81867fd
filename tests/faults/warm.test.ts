import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { catalogue } from '../../src/board/catalogue.ts';
import { loadBoard } from '../../src/board/load.ts';
import type { Kind } from '../../src/board/model.ts';
import type { PartMode, PartModel } from '../../src/circuit/part-model.ts';
import { warmRatios } from '../../src/faults/warm.ts';
import { deriveJob } from '../../src/job/derive.ts';
import { analyse, openWorkbench } from '../../src/steps/advise.ts';
import { events } from '../job/events.ts';

const model = (...ohms: number[]): PartModel => ({
  part: 0,
  healthy: ohms.map((each) => ({ a: 0, b: 1, ohms: each })),
  junctions: [],
  modes: [],
  moreModes: [],
});
const short = (ohms: number, spread = 0): PartMode => ({
  name: 'short',
  share: 1,
  opens: false,
  joins: [{ a: 0, b: 1, ohms }],
  spread,
});
const CERAMIC = catalogue().get('ceramic') as Kind;
const chip = { kind: CERAMIC, package: '0805' };
const OPEN: PartMode = { name: 'open', share: 1, opens: true, joins: [], spread: 0 };

describe('a part found warm under half an ampere', () => {
  const capacitor = model();

  it('is far likelier shorted when a short of its would turn the current into heat', () => {
    const [third = 0, tenth = 0, milliohms = 0] = warmRatios(
      chip,
      capacitor,
      [short(0.3), short(0.1), short(0.005)],
      0.5,
    );
    expect(third).toBeGreaterThan(15);
    expect(tenth).toBeGreaterThan(3);
    expect(tenth).toBeLessThan(third);
    expect(milliohms).toBeLessThan(1.5);
  });

  it('is no likelier failed by a leak that the supply cannot heat', () => {
    const [leak = 0] = warmRatios(chip, capacitor, [short(100)], 0.5);
    expect(leak).toBeLessThan(1.05);
  });

  it('says little where the part warms anyway by carrying the current', () => {
    const winding = model(0.25);
    const [shorted = 0, open = 0] = warmRatios(chip, winding, [short(0.25), OPEN], 0.5);
    expect(shorted).toBeLessThan(2.5);
    expect(open).toBeLessThan(0.2);
    const [mounted = 0] = warmRatios({ ...chip, heatsink: 'main' }, capacitor, [short(0.3)], 0.5);
    expect(mounted).toBeLessThan(3);
  });

  it('tells less the less current there was, and never more than the most a finger tells', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1e-4, max: 1e7, noNaN: true }),
        fc.double({ min: 0, max: 3, noNaN: true }),
        fc.double({ min: 0.001, max: 10, noNaN: true }),
        (ohms, spread, amps) => {
          const [less = 0] = warmRatios(chip, capacitor, [short(ohms, spread)], amps / 2);
          const [ratio = 0] = warmRatios(chip, capacitor, [short(ohms, spread)], amps);
          expect(ratio).toBeGreaterThanOrEqual(less);
          expect(less).toBeGreaterThanOrEqual(1);
          expect(ratio).toBeLessThanOrEqual(31 + 1e-9);
        },
      ),
    );
  });
});

describe('the weights after a look', () => {
  const caps = Array.from(
    { length: 12 },
    (_, k) =>
      `  C${k + 1}: {kind: ceramic, farads: 1u, volts: 25, package: '0805', pins: [V5, GND]}`,
  );
  const { board } = loadBoard(
    `board: Lamp timer
rails:
  main: {plus: V5, minus: GND, volts: 5}
parts:
${caps.join('\n')}
  L1: {kind: inductor, ohms: 0.2, package: '0805', pins: [VIN, V5]}
  J1: {kind: connector, pins: {1: VIN, 2: GND}}
`,
    'timer.yaml',
  );
  const weightOf = (name: string, ...says: string[]): number => {
    const { evidence } = deriveJob(
      board,
      events('V5 GND 0.3 ohm', 'inject VIN GND 0.5 A', ...says),
    );
    const { suspects } = analyse(openWorkbench(board), evidence).diagnosis;
    const part = board.partNamed.get(name)?.index;
    return suspects.find((suspect) => suspect.part === part)?.weight ?? 0;
  };

  it('one capacitor of many that is warm stands out, and a choke on the way does not', () => {
    const before = weightOf('C7');
    expect(before).toBeLessThan(0.15);
    expect(weightOf('C7', 'look C7 warm')).toBeGreaterThan(0.5);
    expect(weightOf('C3', 'look C7 warm')).toBeLessThan(before);
    expect(weightOf('C7', 'look L1 warm')).toBeCloseTo(before, 2);
  });
});
