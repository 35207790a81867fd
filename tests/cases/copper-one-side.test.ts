import { expect, it } from 'vitest';
import { loadBoard } from '../../src/board/load.ts';
import { COMMON_HANDHELD } from '../../src/circuit/meter.ts';
import { deriveJob, extendJob } from '../../src/job/derive.ts';
import { analyse, openWorkbench } from '../../src/steps/advise.ts';

/** Six capacitors in a row, 20 mm apart. */
const { board } = loadBoard(
  `board: Row
rails: {r: {plus: V, minus: GND, volts: 5}}
parts:
${[1, 2, 3, 4, 5, 6].map((k) => `  C${k}: {kind: ceramic, pins: [V, GND], at: [${20 * k}, 5]}`).join('\n')}
copper: {nets: {V: traces, GND: traces}}
`,
  'row.yaml',
);
const fourWire = { ranges: [{ ohms: 2, amps: 0.1 }], volts: 0.2 };
const meter = { ...COMMON_HANDHELD, drives: { ...COMMON_HANDHELD.drives, 'four-wire': fourWire } };

function weightsAfter(said: readonly string[]): Map<string, number> {
  const job = said.reduce(
    (derived, say, k) => extendJob(board, derived, { n: k + 1, at: '', say, line: k + 1 }),
    deriveJob(board, []),
  );
  const { suspects } = analyse(openWorkbench(board, { meter }), job.evidence).diagnosis;
  return new Map(suspects.map(({ part, weight }) => [board.parts[part]!.name, weight]));
}

it('milliohms along one net tell where along it a short is that other readings saw', () => {
  // C4 is a short of 200 mΩ; from pad to pad the rail has 20, 5, 5, 20, 20 mΩ, the return 2 each.
  const across = ['V GND beep', 'C2.1 C2.2 214 mohm', 'C6.1 C6.2 244 mohm'];
  const along = ['C2.1 C4.1 10 mohm', 'C4.1 C6.1 40 mohm', 'C2.1 C3.1 5 mohm', 'C5.1 C6.1 20 mohm'];
  const without = weightsAfter(across);
  const told = weightsAfter([...across, ...along]);
  expect(told.get('C4')).toBeGreaterThan(2 * (without.get('C4') ?? 1));
  expect([...told].sort((x, y) => y[1] - x[1])[0]?.[0]).toBe('C4');
});
