import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { deriveJob } from '../../src/job/derive.ts';
import type { JobEvent } from '../../src/job/event-line.ts';
import { observeEvery, type SoakState, soakState } from '../../src/job/soak.ts';
import { mostCelsius, soakWatch } from '../../src/job/soak-watch.ts';
import { shippedBoard } from '../cases/bench.ts';

const board = shippedBoard('hoist-drive');
const START = Date.UTC(2026, 10, 24, 14, 0, 0);

/** Events so many minutes after the start. */
function eventsAt(...said: readonly (readonly [number, string])[]): JobEvent[] {
  return said.map(([minutes, say], k) => ({
    n: k + 2,
    at: new Date(START + minutes * 60_000).toISOString(),
    say,
    line: k + 2,
  }));
}

function soakAt(minutes: number, ...said: readonly (readonly [number, string])[]): SoakState {
  return soakState(deriveJob(board, eventsAt(...said)), START + minutes * 60_000, 600);
}

const HOUR = [0, 'soak start 60 min'] as const;
/** What lets an hour pass: a temperature and a voltage, at half of the times, the last one late. */
const WATCHED = [
  [12, 'temp Q3 61 C'],
  [32, 'powered P48 GND 48 V'],
  [52, 'temp Q3 64 C'],
] as const;

describe('a soak', () => {
  it('has not begun before it is started', () => {
    expect(soakAt(0)).toMatchObject({ state: 'not started', left: 0, needs: [] });
  });

  it('counts the time on the wall, whoever watches', () => {
    expect(soakAt(23, HOUR)).toMatchObject({ state: 'running', elapsed: 1380, left: 2220 });
    expect(soakAt(60, HOUR)).toMatchObject({ state: 'time is up', left: 0 });
    expect(soakAt(600, HOUR)).toMatchObject({ state: 'time is up', left: 0 });
  });

  it('is not put off by a clock that was set back', () => {
    expect(soakAt(-5, HOUR)).toMatchObject({ state: 'running', elapsed: 0, left: 3600 });
  });

  it('asks for an observation as often as the shop does, and four times at least', () => {
    const every = [60, 480, 40, 1].map((minutes) => observeEvery(minutes * 60, 900) / 60);
    expect(every).toEqual([15, 15, 10, 2]);
    expect(soakAt(0, HOUR).dueIn).toBe(600);
    expect(soakAt(12, HOUR).dueIn).toBe(-120);
    expect(soakAt(12, HOUR, [9, 'temp Q3 61 C']).dueIn).toBe(420);
  });

  it('tells the stretches that nobody observed', () => {
    expect(soakAt(59, HOUR, [5, 'temp Q3 61 C'], [42, 'temp Q3 62 C'])).toMatchObject({
      gaps: [{ from: 300, to: 2520 }],
    });
    expect(soakAt(45, HOUR).gaps).toEqual([{ from: 0, to: 2700 }]);
    expect(soakAt(60, HOUR, ...WATCHED).gaps).toEqual([]);
  });

  it('may be passed once its time is up and it was observed', () => {
    expect(soakAt(60, HOUR, ...WATCHED)).toMatchObject({ state: 'time is up', needs: [] });
    expect(soakAt(60, HOUR).needs).toEqual([
      'observations at 3 times, so far at 0',
      'a temperature',
      'a voltage of a rail',
      'an observation towards its end',
    ]);
    expect(soakAt(20, HOUR, ...WATCHED).needs[0]).toBe('the rest of its time');
  });

  it('does not take many observations at once for watching', () => {
    const often = [58, 58, 59, 59].map((minute) => [minute, 'temp Q3 60 C'] as const);
    const needs = soakAt(60, HOUR, [58, 'powered P48 GND 48 V'], ...often).needs;
    expect(needs).toEqual(['observations at 3 times, so far at 1']);
  });

  it('is passed by word, and says when something was missing', () => {
    expect(soakAt(90, HOUR, ...WATCHED, [61, 'soak passed warm, steady'])).toMatchObject({
      state: 'passed',
      elapsed: 3660,
      text: 'warm, steady',
      isShort: false,
    });
    expect(soakAt(90, HOUR, [20, 'soak passed'])).toMatchObject({ state: 'passed', isShort: true });
  });

  it('ends early on a stop, with the reason', () => {
    const stopped = soakAt(90, HOUR, [12, 'soak finding fan rattles'], [13, 'soak stopped smoke']);
    expect(stopped).toMatchObject({ state: 'stopped', elapsed: 780, text: 'smoke', needs: [] });
    expect(stopped.findings.map(({ text }) => text)).toEqual(['fan rattles']);
    expect(stopped.dueIn).toBeUndefined();
  });

  it('is void once the board was worked on or failed a check', () => {
    expect(soakAt(30, HOUR, [20, 'replace C1']).state).toBe('void');
    expect(soakAt(30, HOUR, [20, 'function failed brake slips']).state).toBe('void');
    expect(soakAt(90, HOUR, ...WATCHED, [61, 'soak passed'], [70, 'replace C1']).state).toBe(
      'void',
    );
  });

  it('is the one started last', () => {
    const again = soakAt(100, HOUR, [10, 'soak stopped smoke'], [80, 'soak start 2 h']);
    expect(again).toMatchObject({ state: 'running', elapsed: 1200, left: 6000, observations: [] });
  });

  it('goes on as before when its start was not taken back, and not otherwise', () => {
    expect(soakAt(5, HOUR, [4, 'undo']).state).toBe('not started');
    expect(soakAt(5, HOUR, [3, 'temp Q3 50 C'], [4, 'undo'])).toMatchObject({
      state: 'running',
      observations: [],
    });
  });

  it('never has more left as the clock goes on, nor fewer observations due', () => {
    const minute = fc.integer({ min: 0, max: 90 });
    fc.assert(
      fc.property(fc.array(minute), minute, minute, (seen, a, b) => {
        const temps = seen.sort((x, y) => x - y).map((at) => [at, 'temp Q3 60 C'] as const);
        const [first, second] = [
          soakAt(Math.min(a, b), HOUR, ...temps),
          soakAt(Math.max(a, b), HOUR, ...temps),
        ];
        expect(second.left).toBeLessThanOrEqual(first.left);
        expect(second.elapsed + second.left).toBeGreaterThanOrEqual(3600);
        expect(second.dueIn ?? 0).toBeLessThanOrEqual(first.dueIn ?? 0);
      }),
    );
  });
});

describe('what to watch in a soak', () => {
  const watched = (...says: readonly string[]) =>
    soakWatch(board, deriveJob(board, eventsAt(...says.map((say) => [0, say] as const)))).map(
      ({ part, why }) => `${board.parts[part]?.name} ${why}`,
    );

  it('is one part of each heatsink and bank, of every sort before a second, eight at most', () => {
    expect(watched()).toEqual([
      'Q1 heatsink',
      'U6 regulator',
      'Q21 power',
      'L1 winding',
      'C6 electrolytic',
      'R1 resistor',
      'Q22 power',
      'C21 electrolytic',
    ]);
  });

  it('begins with what was fitted, each piece by itself', () => {
    const list = watched('replace Q3 Q4', 'replace W3', 'replace D6');
    expect(list.slice(0, 3)).toEqual(['Q3 fitted', 'Q4 fitted', 'D6 fitted']);
    expect(list).not.toContain('W3 fitted');
  });

  it('gives each kind its own limit', () => {
    const limit = (name: string) => mostCelsius(board, board.partNamed.get(name)?.index ?? -1);
    expect(limit('C6')).toBeLessThan(limit('Q1'));
    expect(limit('Q1')).toBeLessThan(limit('R1'));
  });
});
