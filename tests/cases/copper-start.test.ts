import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { loadBoard } from '../../src/board/load.ts';
import { COMMON_HANDHELD } from '../../src/circuit/meter.ts';
import { deriveJob, extendJob } from '../../src/job/derive.ts';
import { advise, analyse, openWorkbench } from '../../src/steps/advise.ts';

const file = new URL('../../boards/bypass-rail.yaml', import.meta.url);
const { board } = loadBoard(readFileSync(file, 'utf8'), 'bypass-rail.yaml');
const fourWire = { ranges: [{ ohms: 2, amps: 0.1 }], volts: 0.2 };
const meter = { ...COMMON_HANDHELD, drives: { ...COMMON_HANDHELD.drives, 'four-wire': fourWire } };

/** A drill in which the first pads along the copper were asked for again and again. */
const SAID = [
  'V24 GND quiet',
  'V5 GND quiet',
  'V3 GND beep',
  'V1 GND quiet',
  'V3_A GND beep',
  'V3_CLK GND beep',
  'V3_LINK GND beep',
  'J4.3 J4.4 524.9 mohm',
  'C89.1 C89.2 471.4 mohm',
  'C91.1 C91.2 535.1 mohm',
  'J2.1 J2.4 472.3 mohm',
  'C85.1 C85.2 471.2 mohm',
];

describe('readings along the copper of a rail', () => {
  it('go on, at other pads, where one alone tells nothing: behind the beads read first', () => {
    const derived = SAID.reduce(
      (job, say, k) => extendJob(board, job, { n: k + 2, at: '', say, line: k + 2 }),
      deriveJob(board, []),
    );
    const { step } = advise(analyse(openWorkbench(board, { meter }), derived.evidence));
    expect(step).toMatchObject({ kind: 'read', probe: { mode: 'four-wire' } });
    const pins = step.kind === 'read' ? [step.probe.red.pin, step.probe.black.pin] : [];
    const taken = derived.evidence.readings.map(({ red, black }) => [red.pin, black.pin]);
    expect(taken.filter(([pin]) => pin !== undefined)).not.toContainEqual(pins);
  });
});
