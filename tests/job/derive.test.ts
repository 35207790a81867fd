import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { InputError } from '../../src/board/diagnostic.ts';
import type { Board } from '../../src/board/model.ts';
import { AS_FOUND, stateKey } from '../../src/circuit/state.ts';
import { admit, type DerivedJob, deriveJob, extendJob } from '../../src/job/derive.ts';
import { ledgerText } from '../../src/job/ledger.ts';
import { checkBoard } from '../../src/job/match-board.ts';
import { printSay } from '../../src/job/notation.ts';
import type { RawJob } from '../../src/job/record.ts';
import { events } from './events.ts';
import { says } from './say-arbitrary.ts';
import { tinyBoard } from './tiny-board.ts';

const board = tinyBoard();
const part = (name: string): number => board.partNamed.get(name)?.index ?? -1;

function standing({ history: _, ...rest }: DerivedJob): Omit<DerivedJob, 'history'> {
  return rest;
}

function ledger(job: DerivedJob): string[] {
  return job.ledger.map((entry) => ledgerText(board, entry));
}

describe('replay', () => {
  it('keeps each reading with the state it was taken under', () => {
    const job = deriveJob(
      board,
      events('P48 GND beep', 'lift W3', 'P48 GND quiet', 'refit W3', 'P48 GND quiet'),
    );
    const [before, lifted, after] = job.evidence.readings;
    expect([before?.id, lifted?.id, after?.id]).toEqual([2, 4, 6]);
    expect(before?.state).toEqual(AS_FOUND);
    expect([...(lifted?.state.lifted ?? [])]).toEqual([board.parts[part('W3')]?.pins[1]]);
    expect(stateKey(after?.state ?? AS_FOUND)).toBe(stateKey(AS_FOUND));
    expect(job.evidence.lastChange).toBe(5);
  });

  it('keeps looks with their event and state', () => {
    const job = deriveJob(board, events('look Q3.D off its pad', 'look P48 GND looks sound'));
    expect(job.evidence.looks).toMatchObject([
      { id: 2, part: part('Q3'), finding: 'off its pad' },
      { id: 3, nets: [board.netNamed.get('P48')?.index, board.netNamed.get('GND')?.index] },
    ]);
    expect(job.evidence.lastChange).toBe(0);
  });

  it('lists what is not back on the board, and since when', () => {
    const told = ['lift W3', 'lift Q3.D Q3.G', 'remove Q1', 'remove Q3'];
    expect(ledger(deriveJob(board, events(...told.slice(0, 3))))).toEqual([
      'W3.2 lifted since event 2',
      'Q3.D lifted since event 3',
      'Q3.G lifted since event 3',
      'Q1 off the board since event 4',
    ]);
    const job = deriveJob(board, events(...told));
    expect(ledger(job)).toEqual([
      'W3.2 lifted since event 2',
      'Q1 off the board since event 4',
      'Q3 off the board since event 5',
    ]);
    expect(job.evidence.state.lifted.size).toBe(1);
    expect(ledger(deriveJob(board, events(...told, 'refit W3 Q1', 'replace Q3')))).toEqual([]);
  });

  it('names replaced parts with the event of their last replacement', () => {
    const job = deriveJob(board, events('replace Q3 Q1', 'replace Q3'));
    expect(job.evidence.replacedAt).toEqual(
      new Map([
        [part('Q3'), 3],
        [part('Q1'), 2],
      ]),
    );
    expect(job.evidence.state.piece.get(part('Q3'))).toBe(2);
  });
});

describe('what is said beside readings', () => {
  it('is kept with its event and time, and is no evidence of the cold board', () => {
    const job = deriveJob(
      board,
      events(
        'customer it hums',
        'photo a.jpg Q3',
        'residual P48 GND 0.2 V',
        'isolation Q3 OL',
        'tick Q3 Q1 fastened',
        'powered P48 GND 47.9 V',
        'power 1 passed',
        'soak start 60 min',
        'temp Q3 71 C',
        'skip touch-up new board',
        'sign-off cleared',
      ),
    );
    expect(job.intake.customer).toMatchObject([{ event: 2, text: 'it hums' }]);
    expect(job.intake.photos).toMatchObject([{ event: 3, file: 'a.jpg', part: part('Q3') }]);
    expect(job.residuals).toMatchObject([{ event: 4, volts: 0.2 }]);
    expect(job.isolations).toMatchObject([{ event: 5, value: { kind: 'over' } }]);
    expect(job.ticks.map((tick) => tick.part)).toEqual([part('Q3'), part('Q1')]);
    expect(job.powered).toMatchObject([{ event: 7, volts: 47.9 }]);
    expect(job.powerStages).toMatchObject([{ event: 8, stage: 1, result: 'passed' }]);
    expect(job.soak).toMatchObject([{ event: 9, what: 'start', seconds: 3600 }]);
    expect(job.temps).toMatchObject([{ event: 10, celsius: 71 }]);
    expect(job.skips).toMatchObject([{ event: 11, stage: 'touch-up', text: 'new board' }]);
    expect(job.signOff).toMatchObject({ event: 12, result: 'cleared' });
    expect(job.evidence).toEqual(deriveJob(board, []).evidence);
  });

  it.each(['power 1 stopped lamp bright', 'function failed no output', 'soak stopped smoke'])(
    'after "%s" no earlier reading counts, and what was fitted stays known',
    (upset) => {
      const before = ['P48 GND quiet', 'replace Q3', 'P48 GND quiet', 'sign-off cleared'];
      const job = deriveJob(board, events(...before, upset, 'P48 GND beep'));
      expect(job.evidence.readings.map(({ id }) => id)).toEqual([7]);
      expect(job.evidence.lastChange).toBe(6);
      expect([...job.evidence.replacedAt]).toEqual([[part('Q3'), 3]]);
      expect(job.evidence.state.piece.get(part('Q3'))).toBe(1);
      expect(job.upsets).toMatchObject([{ event: 6 }]);
      expect(job.signOff).toBeUndefined();
      expect(job.active).toHaveLength(6);
    },
  );

  it('is signed off until work on the board goes on', () => {
    expect(deriveJob(board, events('sign-off cleared', 'note paid')).signOff).toBeDefined();
    expect(deriveJob(board, events('sign-off cleared', 'remove Q3')).signOff).toBeUndefined();
  });

  it('comes back when an upset is taken back', () => {
    const job = deriveJob(board, events('P48 GND quiet', 'soak stopped smoke', 'undo'));
    expect(job.evidence.readings).toHaveLength(1);
    expect(job.upsets).toEqual([]);
  });
});

describe('undo', () => {
  it('of the last three gives exactly the earlier job', () => {
    const before = ['P48 GND beep', 'lift W3', 'replace Q3'];
    const three = ['remove Q1', 'look Q1 burnt', 'off Q1: D S 0.4 ohm'];
    const undone = deriveJob(board, events(...before, ...three, 'undo 3'));
    expect(standing(undone)).toStrictEqual(standing(deriveJob(board, events(...before))));
    expect(undone.history.undone.map(({ event, by }) => [event.say, by])).toEqual(
      three.map((say) => [say, 8]),
    );
  });

  it('takes back one event at a time, each once', () => {
    const job = deriveJob(
      board,
      events('P48 GND beep', 'lift W3', 'note x', 'undo', 'undo', 'P48 GND quiet'),
    );
    expect(job.active.map(({ event }) => event.say)).toEqual(['P48 GND beep', 'P48 GND quiet']);
    expect(job.active.map(({ event }) => event.n)).toEqual([2, 7]);
  });

  it('is refused when there is less to take back', () => {
    const job = deriveJob(board, events('P48 GND beep', 'lift W3', 'undo'));
    expect(admit(board, job, 'undo')).toEqual({ do: 'undo', count: 1 });
    expect(() => admit(board, job, 'undo 2')).toThrow('only 1 events can be undone');
    expect(() => admit(board, deriveJob(board, []), 'undo')).toThrow('nothing to undo');
  });

  it('is not started by a word that only begins like it', () => {
    const job = deriveJob(board, events('P48 GND beep', 'undone GND beep', 'undo x'));
    expect(job.active.map(({ event }) => event.n)).toEqual([2]);
    expect(job.problems).toHaveLength(2);
  });
});

describe('a line that is to be added', () => {
  it('must fit the board as it is after what stands', () => {
    const lifted = deriveJob(board, events('lift W3'));
    expect(() => admit(board, lifted, 'lift W3')).toThrow(InputError);
    expect(admit(board, deriveJob(board, events('lift W3', 'undo')), 'lift W3').do).toBe('lift');
  });
});

describe('laws', () => {
  const lines = fc.array(
    says(board).map((say) => printSay(board, say)),
    { maxLength: 25 },
  );

  /** Lines that are not about the lines before them. */
  const work = lines.map((all) => all.filter((line) => !/^(?:un|re)do/.test(line)));

  it('adding one event at a time is the same as replaying them all', () => {
    fc.assert(
      fc.property(lines, (all) => {
        const told = events(...all);
        const step = told.reduce(
          (job, event) => extendJob(board, job, event),
          deriveJob(board, []),
        );
        expect(step).toStrictEqual(deriveJob(board, told));
      }),
      { numRuns: 150 },
    );
  });

  it('undo of as many events as were said since leads back there', () => {
    fc.assert(
      fc.property(work, work, (first, then) => {
        fc.pre(then.length > 0);
        const told = events(...first, ...then, `undo ${then.length}`);
        expect(standing(deriveJob(board, told))).toStrictEqual(
          standing(deriveJob(board, events(...first))),
        );
      }),
      { numRuns: 150 },
    );
  });

  it('redo of as many events as an undo took leads to where it was taken', () => {
    fc.assert(
      fc.property(work, fc.nat(), (all, share) => {
        fc.pre(all.length > 0);
        const count = 1 + (share % all.length);
        const told = events(...all, `undo ${count}`, `redo ${count}`);
        expect(standing(deriveJob(board, told))).toStrictEqual(
          standing(deriveJob(board, events(...all))),
        );
      }),
      { numRuns: 150 },
    );
  });

  it('a job does not change when more is said after it, nor when it is replayed anew', () => {
    fc.assert(
      fc.property(work, work, (first, then) => {
        const before = events(...first);
        const job = deriveJob(board, before);
        const kept = structuredClone(standing(job));
        const all = events(...first, ...then);
        all.slice(first.length).reduce((now, event) => extendJob(board, now, event), job);
        deriveJob(board, all);
        expect(standing(job)).toStrictEqual(kept);
      }),
      { numRuns: 60 },
    );
  });

  it('the ledger names exactly what the state holds lifted or off', () => {
    fc.assert(
      fc.property(lines, (all) => {
        // Only what would have been admitted: nobody lifts a leg of a part that is off.
        const job = all.reduce(
          (sofar: DerivedJob, line) => {
            try {
              admit(board, sofar, line);
            } catch {
              return sofar;
            }
            const n = sofar.history.events.length + 2;
            return extendJob(board, sofar, { n, at: '', say: line, line: n });
          },
          deriveJob(board, []),
        );
        const { state } = job.evidence;
        const pins = job.ledger.flatMap(({ pin }) => pin ?? []);
        const off = job.ledger.flatMap((entry) => (entry.pin === undefined ? entry.part : []));
        expect(pins.toSorted()).toEqual([...state.lifted].toSorted());
        expect(off.toSorted()).toEqual([...state.off].toSorted());
      }),
      { numRuns: 150 },
    );
  });
});

describe('a board file that changed', () => {
  const raw = (...told: string[]): RawJob => ({
    path: 'job.yaml',
    opening: {
      board: board.name,
      revision: '3',
      file: 'tiny.yaml',
      digest: board.digest,
      purpose: 'repair',
      version: 1,
    },
    openedAt: '',
    events: events(...told),
    warnings: [],
    size: 0,
    lines: 0,
    sum: '',
    owesBreak: false,
  });

  function without(name: string): Board {
    const changed = tinyBoard('e'.repeat(64));
    const partNamed = new Map(changed.partNamed);
    partNamed.delete(name);
    return { ...changed, parts: changed.parts.filter((one) => one.name !== name), partNamed };
  }

  it('is nothing to tell when it is the same', () => {
    expect(checkBoard(raw('lift W3'), board)).toEqual([]);
  });

  it('is warned of, and events that no longer fit are named with their line', () => {
    const found = checkBoard(raw('P48 GND beep', 'lift d9.K', 'lift W3'), without('d9'));
    expect(found.map(({ severity, code }) => [severity, code])).toEqual([
      ['warning', 'BOARD_CHANGED'],
      ['error', 'UNKNOWN_PART'],
    ]);
    expect(found[0]?.message).toContain('has changed since');
    expect(found[1]?.message).toContain('event 3, "lift d9.K"');
    expect(found[1]?.place).toMatchObject({ file: 'job.yaml', line: 3 });
  });

  it('is told apart from another board', () => {
    const [fault] = checkBoard(raw(), {
      ...tinyBoard('f'.repeat(64)),
      name: 'Other',
      file: 'other.yaml',
    });
    expect(fault?.message).toBe(
      '"job.yaml" was opened for "Tiny hoist" revision 3, but "other.yaml" is "Other" revision 3',
    );
  });
});
