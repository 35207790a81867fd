import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { loadBoard } from '../../src/board/load.ts';
import { Job } from '../cases/bench.ts';

const FLYBACK = readFileSync('boards/bench-flyback.yaml', 'utf8');

/** The mains supply with other lines in place of some, and with more parts. */
function jobOn(changes: Readonly<Record<string, string>>, ...more: string[]): Job {
  const lines = FLYBACK.split('\n').map((line) => {
    const name = /^ {2}(\w+):/.exec(line)?.[1] ?? '';
    return changes[name] === undefined ? line : `  ${name}: ${changes[name]}`;
  });
  lines.splice(lines.indexOf('jumpers:'), 0, ...more.map((line) => `  ${line}`));
  return new Job(loadBoard(lines.join('\n'), 'flyback').board);
}

const twice = (line: string): string[] => [line, line];

describe('a part that nobody could tell', () => {
  it('may join any two of its pins, not only those beside each other', () => {
    const job = jobOn({}, 'X1: {kind: unknown, pins: {1: V24, 2: REF24, 3: V8}}');
    for (const pair of ['V24 V8', 'V24 REF24', 'REF24 V8']) {
      const weight = job.weightOf(job.after(twice(`${pair} beep`)), 'X1');
      expect(weight, pair).toBeGreaterThan(0.5);
    }
  });

  it('with many pins may join each of them with ground', () => {
    const pins = ['V24', 'V8', 'REF24', 'FBK', 'V5', 'OPTO_A', 'SGND', 'SEC8'];
    const named = pins.map((net, i) => `${i + 1}: ${net}`).join(', ');
    const job = jobOn({}, `X1: {kind: unknown, pins: {${named}}}`);
    expect(job.weightOf(job.after(twice('REF24 SGND beep')), 'X1')).toBeGreaterThan(0.3);
  });

  it('keeps known parts beside it from being claimed', () => {
    const known = jobOn({});
    const says = twice('VCC_P PGND beep');
    const heaviest = (job: Job): number =>
      Math.max(
        0,
        ...job
          .after(says)
          .diagnosis.suspects.filter(({ part }) => part !== job.part('X1'))
          .map(({ weight }) => weight),
      );
    const half = jobOn({}, 'X1: {kind: unknown, pins: {1: VCC_P, 2: PGND}}');
    expect(heaviest(half)).toBeLessThan(0.8 * heaviest(known));
    expect(half.weightOf(half.after(says), 'X1')).toBeLessThan(0.9);
  });

  it('is cleared by a silence between its pins', () => {
    const job = jobOn({}, 'X1: {kind: unknown, pins: {1: VCC_P, 2: PGND}}');
    expect(job.weightOf(job.after(['VCC_P PGND quiet']), 'X1')).toBeLessThan(0.01);
  });
});

describe('copper that the board file lacks', () => {
  it('carries the weight where nothing listed joins the points', () => {
    const analysis = jobOn({}).after(twice('START OPTO_A beep'));
    const links = analysis.diagnosis.sets.filter(({ faults }) =>
      faults.some(({ what }) => what === 'link'),
    );
    expect(links.reduce((sum, set) => sum + set.weight, 0)).toBeGreaterThan(0.5);
    for (const { weight } of analysis.diagnosis.suspects) expect(weight).toBeLessThan(0.5);
  });

  it('clears a part that was taken off while the reading stayed', () => {
    const job = jobOn({});
    const after = job.after([...twice('CS PGND beep'), 'remove C10', ...twice('CS PGND beep')]);
    expect(job.weightOf(after, 'C10')).toBeLessThan(0.1);
  });
});
