import { describe, expect, it } from 'vitest';
import { deriveJob } from '../../src/job/derive.ts';
import { soakingUpTo, workStages } from '../../src/job/stage-of.ts';
import { events } from './events.ts';
import { tinyBoard } from './tiny-board.ts';

const board = tinyBoard();

function stages(...says: readonly string[]): string[] {
  return [...workStages(deriveJob(board, events(...says))).values()];
}

describe('the stage that an entry was work on', () => {
  it('follows a job from intake to sign-off', () => {
    const says = {
      'customer hums': 'intake',
      'photo front.jpg': 'intake',
      'look Q1 burnt': 'look-over',
      'residual P48 GND 0.1 V': 'cold survey',
      'P48 GND beep': 'cold survey',
      'lift W3': 'isolate',
      'P48_FAN GND quiet': 'isolate',
      'remove Q1': 'repair',
      'off Q1: D S 0.3 ohm': 'isolate',
      'replace Q1': 'repair',
      'refit W3': 'repair',
      'P48 GND OL': 'recheck',
      'look D3.A looks sound': 'touch-up',
      'reflow D3.A': 'touch-up',
      'power 1 passed': 'power-up',
      'powered P48 GND 48 V': 'power-up',
      'temp Q1 40 C': 'power-up',
      'soak start 60 min': 'soak',
      'temp Q1 41 C': 'soak',
      'soak passed': 'soak',
      'sign-off cleared': 'sign-off',
    };
    expect(stages(...Object.keys(says))).toEqual(Object.values(says));
  });

  it('is that of the entry before, for what tells nothing of its own', () => {
    expect(stages('P48 GND beep', 'note lunch', 'undo')).toEqual(Array(3).fill('cold survey'));
  });

  it('is the one that was left out, for the reason given', () => {
    expect(stages('P48 GND quiet', 'skip soak no time')).toEqual(['cold survey', 'soak']);
  });
});

describe('a soak that runs', () => {
  it('reaches from its start to what ended it', () => {
    const says = ['soak start 1 h', 'note tea', 'soak finding hums', 'soak passed', 'note done'];
    const job = deriveJob(board, events(...says));
    expect([...soakingUpTo(job)]).toEqual([3, 4, 5]);
  });
});
