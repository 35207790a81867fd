import { describe, expect, it } from 'vitest';
import type { Part } from '../../../src/board/model.ts';
import { unitOf } from '../../../src/faults/learnt.ts';
import { deriveJob } from '../../../src/job/derive.ts';
import type { JobEvent } from '../../../src/job/event-line.ts';
import { lessonOf } from '../../../src/job/memory/lesson.ts';
import type { RawJob } from '../../../src/job/record.ts';
import { openWorkbench } from '../../../src/steps/advise.ts';
import { jumperHealth } from '../jumper-health.ts';
import { tinyBoard } from '../tiny-board.ts';

const board = tinyBoard();
const healthy = jumperHealth(board);
const { bench } = openWorkbench(board);

/** A job of these lines, one every so many minutes. */
function lesson(says: readonly string[], minutes = 1) {
  const openedAt = '2026-11-24T10:00:00.000Z';
  const events = says.map((say, at): JobEvent => {
    const time = new Date(Date.parse(openedAt) + (at + 1) * minutes * 60_000);
    return { n: at + 2, at: time.toISOString(), say, line: at + 2 };
  });
  const { name, revision = '', digest } = board;
  const opening = { board: name, revision, file: 'b.yaml', digest, purpose: 'repair', version: 1 };
  const raw = { path: 'job.yaml', opening, openedAt, events } as unknown as RawJob;
  return lessonOf(board, raw, deriveJob(board, events), { bench, healthy, awayAfter: 30 });
}

const FOUND = ['P48 GND beep', 'remove Q1', 'off Q1: D S 0.4 ohm', 'P48 GND quiet', 'replace Q1'];

describe('what one job teaches', () => {
  it('names what was found failed, by what showed it and what the failure left', () => {
    expect(lesson(FOUND).failed).toEqual([
      {
        part: 'Q1',
        kind: 'n-mosfet',
        duty: 'n-mosfet at gate, ground, supply',
        how: 'short',
        by: 'own legs',
        sure: 1,
      },
    ]);
  });

  it('keeps apart what was renewed beside it and what was found', () => {
    const { failed, renewed } = lesson([...FOUND, 'remove Q3', 'replace Q3']);
    expect(failed.map(({ part }) => part)).toEqual(['Q1']);
    expect(renewed).toEqual(['Q3']);
  });

  it('shares the doubt among parts that were renewed at once', () => {
    const { failed } = lesson(['P48 GND beep', 'replace Q1 Q3', 'P48 GND quiet']);
    expect(failed).toMatchObject([
      { part: 'Q1', by: 'one of several', sure: 0.45 },
      { part: 'Q3', by: 'one of several', sure: 0.45 },
    ]);
  });

  it('counts a part as cleared that read healthy by itself or went back in', () => {
    expect(lesson(['P48 GND beep', 'remove C7', 'off C7: 1 2 OL', 'refit C7']).cleared).toEqual([
      { part: 'C7', by: 'own legs' },
    ]);
    expect(lesson(['P48 GND beep', 'remove D3', 'refit D3']).cleared).toEqual([
      { part: 'D3', by: 'put back' },
    ]);
  });

  it('names joints that were seen cracked', () => {
    expect(lesson(['look Q1.D cracked']).joints).toEqual(['Q1.D']);
  });

  it('teaches the less the less was proven, and says why', () => {
    const nothing = lesson(['P48 GND beep']).teaches;
    const found = lesson(FOUND).teaches;
    const over = lesson([...FOUND, 'sign-off cleared']).teaches;
    expect(nothing).toEqual({ weight: 0, why: 'nothing was found and nothing was proven' });
    expect(found.weight).toBeGreaterThan(0);
    expect(found.weight).toBeLessThan(over.weight);
    expect(over).toEqual({ weight: 1, why: 'signed off cleared' });
  });

  it('times each kind of work by the stretch before its line, breaks and pastes left out', () => {
    const { minutes } = lesson(FOUND, 2);
    expect(minutes['reading continuity']?.[0]).toBe(2);
    expect(minutes['reading continuity']?.[1]).toBeCloseTo(2 * Math.log(2), 3);
    expect(minutes['remove three leads']?.[0]).toBe(1);
    expect(minutes['fit three leads']?.[0]).toBe(1);
    expect(lesson(FOUND, 0.01).minutes).toEqual({});
    expect(lesson(FOUND, 45).minutes).toEqual({});
  });

  it('times the work of each technician by itself, from the line that names them on', () => {
    const { hands, minutes } = lesson(['P48 GND beep', 'technician Ada', ...FOUND], 2);
    expect(Object.keys(hands ?? {})).toEqual(['Ada']);
    expect(hands?.Ada?.['reading continuity']?.[0]).toBe(2);
    expect(minutes['reading continuity']?.[0]).toBe(3);
    expect(lesson(FOUND).hands).toBeUndefined();
  });

  it('names what went together, a bank as one', () => {
    expect(lesson(FOUND).units).toEqual([unitOf(board.partNamed.get('Q1') as Part)]);
  });

  it('holds no word of the customer and no marking that could be read back', () => {
    const text = JSON.stringify(
      lesson(['customer Mrs Hartwell, noisy fan', 'marking SN 4711', ...FOUND, 'note call Jo']),
    );
    expect(text).not.toMatch(/Hartwell|4711|Jo"/);
    expect(lesson(['marking SN 4711']).marking).toBe(lesson(['marking sn 4711 ']).marking);
  });
});
