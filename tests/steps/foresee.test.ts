import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { loadBoard } from '../../src/board/load.ts';
import type { MeterMode, Probe } from '../../src/circuit/reading.ts';
import { deriveJob } from '../../src/job/derive.ts';
import { parsePoint } from '../../src/job/points.ts';
import { advise, analyse, openWorkbench } from '../../src/steps/advise.ts';
import { foresee } from '../../src/steps/foresee.ts';

const file = new URL('../../boards/hoist-drive.yaml', import.meta.url);
const { board } = loadBoard(readFileSync(file, 'utf8'), 'hoist-drive.yaml');
const workbench = openWorkbench(board);

function analysisOf(...says: string[]): ReturnType<typeof analyse> {
  const events = says.map((say, k) => ({ n: k + 2, at: '', say, line: k + 2 }));
  return analyse(workbench, deriveJob(board, events).evidence);
}

function between(mode: MeterMode, red: string, black: string): Probe {
  return { mode, red: parsePoint(board, red), black: parsePoint(board, black) };
}

describe('what a reading may show', () => {
  it('agrees with what the next step says of its answers', () => {
    const analysis = analysisOf('P48 GND beep');
    const { step, outcomes } = advise(analysis);
    const probe = step.kind === 'read' ? step.probe : 'then' in step ? step.then : undefined;
    if (step.kind !== 'read' || probe === undefined) return expect(step.kind).toBe('lift');
    const told = new Map(outcomes.map(({ answer, weight }) => [answer, weight]));
    for (const { answer, weight } of foresee(analysis, probe)) {
      expect(told.get(answer)).toBeCloseTo(weight, 6);
    }
  });

  it.each(['continuity', 'ohms', 'diode'] as const)('holds chances that sum to 1: %s', (mode) => {
    const answers = foresee(analysisOf('P48 GND beep'), between(mode, 'P48', 'GND'));
    expect(answers.reduce((sum, { weight }) => sum + weight, 0)).toBeCloseTo(1, 9);
    for (const { value, low, high } of answers) {
      if (value === undefined) continue;
      expect(low).toBeLessThanOrEqual(high ?? 0);
    }
  });

  it('is a junction in a diode test, and OL the other way round', () => {
    const healthy = analysisOf();
    const [forward] = foresee(healthy, between('diode', 'Q1.S', 'Q1.D'));
    expect(forward?.value).toBeGreaterThan(0.2);
    expect(forward?.value).toBeLessThan(0.8);
  });

  it('is surely quiet where it was quiet many times, and surely a beep across a link', () => {
    const quiet = analysisOf('P48 GND quiet', 'P48 GND quiet');
    expect(foresee(quiet, between('continuity', 'P48', 'GND'))[0]?.answer).toBe('quiet');
    const [link] = foresee(quiet, between('continuity', 'P48', 'P48_FAN'));
    expect(link?.answer).toBe('beep');
  });

  it('is not told of what a meter cannot drive', () => {
    const analysis = analysisOf();
    expect(() => foresee(analysis, between('four-wire', 'P48', 'GND'))).toThrow(RangeError);
    expect(() => foresee(analysis, between('millivolts', 'P48', 'GND'))).toThrow(RangeError);
  });
});
