import { describe, expect, test } from 'vitest';
import { loadBoard } from '../../src/board/load.ts';
import { NO_EVIDENCE } from '../../src/faults/evidence.ts';
import { analyse, openWorkbench } from '../../src/steps/advise.ts';

/** How the survey of a board with these parts from IN to OUT reads across them for the sake of the first. */
function modeFor(between: readonly string[]): string | undefined {
  const parts = between.map((text, k) => `  X${k + 1}: ${text.replace('}', ', pins: [IN, OUT]}')}`);
  const text = [
    'board: Lamp feed',
    'rails:',
    '  out: {plus: OUT, minus: GND}',
    'parts:',
    ...parts,
    '  C1: {kind: ceramic, farads: 1u, pins: [IN, GND]}',
    '  C2: {kind: ceramic, farads: 1u, pins: [OUT, GND]}',
  ].join('\n');
  const { board } = loadBoard(text, 'lamp-feed.yaml');
  const { readings } = analyse(openWorkbench(board), NO_EVIDENCE).survey;
  const wanted = ['IN', 'OUT'].map((name) => board.netNamed.get(name)?.index);
  const reading = readings.find(({ probe: { red, black }, parts: spokenFor }) => {
    const isAcross = wanted.includes(red.net) && wanted.includes(black.net);
    return isAcross && spokenFor.includes(board.partNamed.get('X1')?.index ?? -1);
  });
  return reading?.probe.mode;
}

describe('the survey asks whether what should sound does', () => {
  test('across a fuse by itself', () => {
    expect(modeFor(['{kind: fuse}'])).toBe('continuity');
  });

  test('across an inrush thermistor beside which a high resistor lies', () => {
    expect(modeFor(['{kind: thermistor, ohms: 5}', '{kind: resistor, ohms: 1M}'])).toBeDefined();
  });

  test('in ohms where a second way would sound but show more', () => {
    expect(modeFor(['{kind: fuse}', '{kind: resistor, ohms: 10}'])).toBe('ohms');
  });

  test('not where a second way would show the same', () => {
    expect(modeFor(['{kind: fuse}', '{kind: jumper}'])).toBeUndefined();
  });
});
