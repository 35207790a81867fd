import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { deriveJob } from '../../src/job/derive.ts';
import { type HealthyParts, type Recheck, recheck } from '../../src/job/recheck.ts';
import { viewRecheck } from '../../src/report/recheck.ts';
import { events } from './events.ts';
import { jumperHealth } from './jumper-health.ts';
import { tinyBoard } from './tiny-board.ts';

const board = tinyBoard();
const healthy = jumperHealth(board);

const BEFORE = ['P48 GND beep', 'P48_FAN GND beep', 'P48 OUT quiet'];

function rechecked(...says: readonly string[]): Recheck {
  return recheck(board, deriveJob(board, events(...says)), healthy);
}

function changeOf(found: Recheck, red: string, black: string): string | undefined {
  const nets = [red, black].map((name) => board.netNamed.get(name)?.index);
  return found.pairs.find(({ probe }) =>
    [probe.red.net, probe.black.net].every((net) => nets.includes(net)),
  )?.change;
}

describe('the recheck of a job', () => {
  it('misses nothing while nothing was taken off', () => {
    const found = rechecked(...BEFORE, 'lift W3', 'P48 GND beep');
    expect(found).toMatchObject({ phase: 'untouched', differs: true });
    expect(changeOf(found, 'P48', 'GND')).toBe('still short');
    expect(changeOf(found, 'P48', 'OUT')).toBe('as before');
    expect(viewRecheck(board, found).toRead).toEqual([]);
  });

  it('asks for every reading again once a part is off, and for the part itself', () => {
    const found = rechecked(...BEFORE, 'remove Q1', 'P48 GND quiet');
    expect(found.phase).toBe('parts off');
    expect(changeOf(found, 'P48', 'GND')).toBe('cleared');
    expect(changeOf(found, 'P48_FAN', 'GND')).toBe('not read again');
    const asked = viewRecheck(board, found).toRead.map(({ probe }) => probe);
    expect(asked).toEqual(['off Q1: D S', 'P48_FAN GND', 'P48 OUT']);
  });

  it('keeps a pair cleared with parts off apart from one read clear with all put back', () => {
    const fitted = [...BEFORE, 'remove Q1', 'P48 GND quiet', 'P48_FAN GND quiet', 'replace Q1'];
    const found = rechecked(...fitted);
    expect(found.phase).toBe('put back');
    expect(changeOf(found, 'P48', 'GND')).toBe('not read again');
    const read = rechecked(...fitted, 'P48 GND quiet', 'P48_FAN GND quiet', 'P48 OUT OL');
    expect(changeOf(read, 'P48', 'GND')).toBe('cleared');
    // The pads of a new part were never read: that stands out like any other reading left out.
    expect(changeOf(read, 'HG', 'P48')).toBe('not read again');
    expect(read.differs).toBe(true);
    const whole = ['P48 GND quiet', 'P48_FAN GND quiet', 'P48 OUT OL', 'HG GND OL', 'HG P48 OL'];
    expect(rechecked(...fitted, ...whole).differs).toBe(false);
  });

  it('tells a new short from one that stayed', () => {
    const found = rechecked(
      ...BEFORE,
      'remove Q1',
      'replace Q1',
      'P48 GND 0.2 ohm',
      'P48 OUT beep',
      'P48_FAN GND OL',
    );
    expect(changeOf(found, 'P48', 'GND')).toBe('still short');
    expect(changeOf(found, 'P48', 'OUT')).toBe('newly short');
    expect(changeOf(found, 'P48_FAN', 'GND')).toBe('cleared');
  });

  it('wants a short read again after another part came off', () => {
    const found = rechecked(...BEFORE, 'remove Q1', 'P48 GND beep', 'remove Q3');
    expect(changeOf(found, 'P48', 'GND')).toBe('not read again');
    expect(changeOf(rechecked(...BEFORE, 'remove Q1', 'P48 GND beep'), 'P48', 'GND')).toBe(
      'still short',
    );
  });

  it('wants a pair read again once a new part sits across it, whatever else is still off', () => {
    const half = [...BEFORE, 'remove Q1', 'remove Q3', 'P48 GND quiet'];
    expect(changeOf(rechecked(...half), 'P48', 'GND')).toBe('cleared');
    const found = rechecked(...half, 'replace Q1');
    expect(found.phase).toBe('parts off');
    expect(changeOf(found, 'P48', 'GND')).toBe('not read again');
  });

  it('names a link that conducted and does not any more', () => {
    const found = rechecked('P48 P48_FAN beep', 'reflow W3', 'P48 P48_FAN quiet');
    expect(changeOf(found, 'P48', 'P48_FAN')).toBe('unlike healthy');
    const mended = rechecked('P48 P48_FAN quiet', 'reflow W3', 'P48 P48_FAN beep');
    expect(changeOf(mended, 'P48', 'P48_FAN')).toBe('put right');
  });

  it('does not take a beep for an answer where a healthy board beeps and ohms would tell', () => {
    const careful: HealthyParts = { ...healthy, modeFor: () => 'ohms' };
    const job = deriveJob(board, events('P48 GND 0.3 ohm', 'reflow Q1.D', 'P48 GND beep'));
    const found = recheck(board, job, careful);
    expect(changeOf(found, 'P48', 'GND')).toBe('not read again');
    expect(viewRecheck(board, found).toRead[0]).toMatchObject({ probe: 'P48 GND', mode: 'ohms' });
  });

  it('keeps the readings of the old piece and the new one apart', () => {
    const found = rechecked('P48 GND beep', 'remove Q1', 'off Q1: D S 0.3 ohm', 'replace Q1');
    const [part] = found.parts;
    expect(part).toMatchObject({ fate: 'replaced', since: 5 });
    expect(part?.own).toMatchObject([{ ofOldPiece: true, fault: 'short' }]);
  });

  it('does not take a reading on the bench for one of the pads', () => {
    const found = rechecked('P48 GND beep', 'remove Q1', 'off Q1: G S 0.3 ohm', 'replace Q1');
    expect(changeOf(found, 'HG', 'GND')).toBe('not read again');
  });

  it('says when readings of one pair, with nothing changed between, do not agree', () => {
    const view = viewRecheck(board, rechecked('P48 GND beep', 'P48 GND quiet'));
    expect(view.pairs[0]?.asFound?.note).toBe('read 2 times, not alike');
  });

  it('loses no pair, whatever is read and done in any order', () => {
    const say = fc.constantFrom(
      'P48 GND beep',
      'GND P48 quiet',
      'P48_FAN GND 0.4 ohm',
      'D3.A D3.K 0.5 V',
      'D3.K D3.A OL diode',
      'remove Q1',
      'replace Q1',
      'lift W3',
      'refit W3',
      'clean P48 GND',
      'undo',
    );
    fc.assert(
      fc.property(fc.array(say, { maxLength: 14 }), (says) => {
        const job = deriveJob(board, events(...says));
        const found = recheck(board, job, healthy);
        const keys = new Set(found.pairs.map(({ key }) => key));
        expect(keys.size).toBe(found.pairs.length);
        const nets = (a: number, b: number): string => [a, b].sort((x, y) => x - y).join(' ');
        const seen = new Set(found.pairs.map(({ probe: p }) => nets(p.red.net, p.black.net)));
        for (const { red, black, offPart } of job.evidence.readings) {
          if (offPart === undefined) expect(seen).toContain(nets(red.net, black.net));
        }
        const open = found.pairs.filter(({ change }) => change === 'not read again');
        if (found.phase !== 'untouched') {
          expect(viewRecheck(board, found).toRead.length).toBeGreaterThanOrEqual(open.length);
        }
      }),
    );
  });
});
