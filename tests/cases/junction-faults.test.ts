// What only a diode test or an ohms range shows: open junctions, changed ohms, parts the wrong way round.
import { describe, expect, it } from 'vitest';
import { COMMON_HANDHELD } from '../../src/circuit/meter.ts';
import { turnTest } from '../../src/steps/turn-test.ts';
import { Job, play, shippedBoard } from './bench.ts';

const bench = new Job(shippedBoard('bench-flyback'));

describe('a part whose junction went open', () => {
  it('is accused by OL both ways across its pads', () => {
    const analysis = bench.after(['D1.A D1.K OL diode', 'D1.K D1.A OL diode']);
    expect(bench.weightOf(analysis, 'D1')).toBeGreaterThan(0.5);
  });

  it('is accused where others still carry the test current at a higher voltage', () => {
    const sound = bench.after(['Q1.S Q1.D 0.5 V']);
    expect(bench.weightOf(sound, 'Q1')).toBe(0);
    const open = bench.after(['Q1.S Q1.D 0.93 V']);
    expect(bench.weightOf(open, 'Q1')).toBeGreaterThan(0.5);
  });

  it('is told from a sound one on its own legs', () => {
    const open = bench.after(['remove D4', 'off D4: A K OL diode']);
    const sound = bench.after(['remove D4', 'off D4: A K 0.5 V']);
    expect(bench.weightOf(open, 'D4')).toBeGreaterThan(0.5);
    expect(bench.weightOf(sound, 'D4')).toBe(0);
  });
});

describe('a resistor that reads too high', () => {
  it('is accused where nothing else lies between its pads', () => {
    const analysis = bench.after(['R9.1 R9.2 900 kohm']);
    const suspect = analysis.diagnosis.suspects.find(({ part }) => part === bench.part('R9'));
    expect(suspect?.modes.map(({ mode }) => mode)).toContain('high');
  });
});

describe('a new part fitted the wrong way round', () => {
  const fitted = ['replace Q1', 'Q1.D Q1.S quiet'];

  it('is not proven by a beeper: a diode test is asked for', () => {
    const item = bench.after(fitted).proof.find(({ name }) => name === 'Q1');
    expect(item?.missing.map(({ mode }) => mode)).toContain('diode');
  });

  it('is found by that test', () => {
    const turned = bench.after([...fitted, 'Q1.S Q1.D 0.93 V', 'Q1.D Q1.S OL diode']);
    const [first] = turned.diagnosis.suspects;
    expect(first?.part).toBe(bench.part('Q1'));
    expect(first?.modes[0]?.mode).toBe('fitted the wrong way round');
  });

  it('is asked for nothing where the pads would read the same either way', () => {
    const { circuit } = bench.workbench.bench;
    expect(turnTest(circuit, COMMON_HANDHELD, bench.part('C1'))).toBeUndefined();
    expect(turnTest(circuit, COMMON_HANDHELD, bench.part('BR1'))).toBeUndefined();
  });

  it('is put right in a whole job', () => {
    const { played, replaced, job } = play(shippedBoard('bench-flyback'), [
      { part: 'Q1', mode: 'D-S short' },
      { part: 'Q1', mode: 'fitted the wrong way round', piece: 1 },
    ]);
    expect(played.clear).toBe(true);
    expect(replaced).toContain('Q1');
    expect(job.evidence.state.piece.get(bench.part('Q1'))).toBe(2);
  });
});

describe('a path through junctions that leak', () => {
  it('that a sound board shows on the highest range accuses nothing', () => {
    const { diagnosis } = bench.after(['DRAIN PGND 2.16 Mohm']);
    expect(diagnosis.contradictory).toBe(false);
    expect(diagnosis.suspects.filter(({ weight }) => weight > 0.1)).toEqual([]);
  });
});
