import { describe, expect, it } from 'vitest';
import type { Reading } from '../../src/circuit/reading.ts';
import { deriveJob } from '../../src/job/derive.ts';
import { type Gate, gates } from '../../src/job/gates.ts';
import { events } from './events.ts';
import { tinyBoard } from './tiny-board.ts';

const board = tinyBoard();

function isClear({ value }: Reading): boolean {
  return (
    value.kind === 'quiet' || value.kind === 'over' || (value.kind === 'ohms' && value.ohms > 1000)
  );
}

function gatesAfter(...says: string[]): Gate[] {
  return gates(board, deriveJob(board, events(...says)), {
    isClear,
    modeFor: () => 'continuity',
    turnTest: () => undefined,
  });
}

function open(...says: string[]): string[] {
  return gatesAfter(...says).flatMap(({ needs }) => needs);
}

const RAILS_CLEAR = ['P48 GND quiet', 'GND P48_FAN 12 kohm'];

describe('gates', () => {
  it('all fail on a job that has only begun, and say what to read', () => {
    expect(gatesAfter()).toEqual([
      { name: 'everything back on the board', holds: true, needs: [] },
      { name: 'rail bus read clear', holds: false, needs: ['read P48 GND: not read yet'] },
      { name: 'rail fan read clear', holds: false, needs: ['read P48_FAN GND: not read yet'] },
    ]);
  });

  it('hold once every rail was read clear, either way round', () => {
    expect(gatesAfter(...RAILS_CLEAR).every(({ holds }) => holds)).toBe(true);
    expect(open('Q1.D Q1.S OL', 'C7.2 C7.1 quiet')).toEqual([]);
  });

  it('do not count a part read on its own legs for a rail', () => {
    expect(open('remove Q3', 'off Q3: D S OL', 'replace Q3', 'P48_FAN GND quiet')).toContain(
      'read P48 GND: not read yet',
    );
  });

  it('fail again after any change', () => {
    expect(open(...RAILS_CLEAR, 'reflow Q3.D')).toEqual([
      'read P48 GND again: last read "P48 GND quiet" in event 2, before the change in event 4',
      'read P48_FAN GND again: last read "GND P48_FAN 12 kohm" in event 3, before the change in event 4',
    ]);
    expect(open(...RAILS_CLEAR, 'note looked again', 'look Q3 looks sound')).toEqual([]);
  });

  it('go by the last reading', () => {
    expect(open(...RAILS_CLEAR, 'P48 GND beep')).toEqual([
      'P48 GND is not clear: last read "P48 GND beep" in event 4',
    ]);
    expect(open('P48 GND beep', ...RAILS_CLEAR)).toEqual([]);
  });

  it('name what is lifted or off', () => {
    expect(open('lift W3', 'remove Q3', ...RAILS_CLEAR)).toEqual([
      'refit or replace W3.2 lifted since event 2',
      'refit or replace Q3 off the board since event 3',
    ]);
  });

  it('want a replaced part read on each pair of pads its kind can short', () => {
    const fitted = ['remove Q3', 'replace Q3', ...RAILS_CLEAR];
    expect(open(...fitted)).toEqual(['read HG GND: not read yet', 'read HG P48: not read yet']);
    expect(open(...fitted, 'Q3.G Q3.S OL', 'Q3.D Q3.G OL')).toEqual([]);
    expect(open(...fitted, 'Q3.G Q3.S 2 ohm', 'Q3.D Q3.G OL')).toEqual([
      'HG GND is not clear: last read "Q3.G Q3.S 2 ohm" in event 6',
    ]);
    expect(open(...fitted, 'Q3.G Q3.S OL', 'Q3.D Q3.G OL', 'undo 2')).toHaveLength(2);
  });

  it('do not count a reading from before a part was replaced', () => {
    expect(open('HG GND OL', 'HG P48 OL', 'replace Q3', ...RAILS_CLEAR)).toEqual([
      'read HG GND again: last read "HG GND OL" in event 2, before the change in event 4',
      'read HG P48 again: last read "HG P48 OL" in event 3, before the change in event 4',
    ]);
  });

  it('want one clear reading across a part whose kind names no pair', () => {
    const fitted = ['replace U1', ...RAILS_CLEAR];
    expect(open(...fitted)).toEqual(['read OUT GND: not read yet']);
    expect(open(...fitted, 'U1.1 U1.4 OL')).toEqual([]);
  });
});
