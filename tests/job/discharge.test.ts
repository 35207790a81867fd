import { describe, expect, it } from 'vitest';
import { loadBoard } from '../../src/board/load.ts';
import type { Probe } from '../../src/circuit/reading.ts';
import { deriveJob } from '../../src/job/derive.ts';
import { type Charge, chargesOf, refusedCharge, unreadBefore } from '../../src/job/discharge.ts';
import { DEFAULT_DISCHARGE_LIMITS, limitText } from '../../src/job/discharge-limits.ts';

//  HV ─ CA ─ MID ─ CB ─ PGND: a series string; V12 with an electrolytic and a small ceramic.
const { board } = loadBoard(
  `
board: Two capacitors in series
rails:
  bulk: {plus: HV, minus: PGND, volts: 400}
  logic: {plus: V12, minus: PGND, volts: 12}
parts:
  CA: {kind: electrolytic, farads: 220u, volts: 250, pins: {plus: HV, minus: MID}}
  CB: {kind: electrolytic, farads: 220u, volts: 250, pins: {plus: MID, minus: PGND}}
  CC: {kind: electrolytic, farads: 470u, volts: 16, pins: {plus: V12, minus: PGND}}
  CD: {kind: ceramic, farads: 100n, volts: 50, pins: [V12, SIG]}
  R1: {kind: resistor, ohms: 10k, pins: [SIG, PGND]}
`,
  'string.yaml',
);
const net = (name: string): number => board.netNamed.get(name)?.index ?? -1;
const probe = (red: string, black: string): Probe => ({
  mode: 'continuity',
  red: { net: net(red) },
  black: { net: net(black) },
});
const START = Date.parse('2026-03-02T08:00:00Z');

/** Lines of a record, each with the minute it was said in. */
function charges(...lines: readonly (readonly [number, string])[]): Charge[] {
  const events = lines.map(([minute, say], k) => ({
    n: k + 2,
    at: new Date(START + minute * 60_000).toISOString(),
    say,
    line: k + 2,
  }));
  return chargesOf(board, deriveJob(board, events));
}

function stateOf(found: readonly Charge[], plus: string): string | undefined {
  return found.find(({ nets }) => nets[0] === net(plus))?.state;
}

function due(found: readonly Charge[], at: Probe, minute = 0): string[] {
  const some = unreadBefore(board, found, at, START + minute * 60_000);
  return some.map(({ nets }) => nets.map((each) => board.nets[each]?.name).join('/'));
}

describe('what has to be measured before a cold reading', () => {
  it('is each capacitor of a series string across its own nets, before any reading at all', () => {
    expect(due(charges(), probe('SIG', 'PGND'))).toEqual(['HV/MID', 'MID/PGND']);
  });

  it('is a low-voltage capacitor when a probe goes on it, and nothing for a small one', () => {
    expect(due(charges(), probe('V12', 'PGND'))).toContain('V12/PGND');
    expect(due(charges(), probe('SIG', 'PGND'))).not.toContain('V12/PGND');
    const nets = charges().map(({ nets: pair }) => board.nets[pair[1]]?.name);
    expect(nets).not.toContain('SIG');
  });

  it('is nothing once measured low, either way round, until power was on again', () => {
    const read = [
      [0, 'residual MID HV 0.2 V'],
      [0, 'residual MID PGND 0 V'],
    ] as const;
    expect(due(charges(...read), probe('SIG', 'PGND'))).toEqual([]);
    for (const powered of ['powered V12 PGND 12 V', 'draws bulk 0.1 A', 'power 1 passed']) {
      expect(due(charges(...read, [1, powered]), probe('SIG', 'PGND'))).toHaveLength(2);
    }
  });

  it('is nothing for a part read on its own legs', () => {
    expect(due(charges(), { ...probe('V12', 'SIG'), offPart: 3 })).toEqual([]);
  });
});

describe('a measured charge', () => {
  it.each([
    [0.9, 'empty'],
    [1, 'empty'],
    [1.1, 'charged'],
    [-1.1, 'charged'],
    [60, 'charged'],
    [60.1, 'refused'],
    [-310, 'refused'],
  ])('of %d V is %s', (volts, state) => {
    expect(stateOf(charges([0, `residual HV MID ${volts} V`]), 'HV')).toBe(state);
  });

  it('is refused by its energy too, worked out from the volts measured', () => {
    const { board: big } = loadBoard(
      'board: b\nparts:\n  C1: {kind: electrolytic, farads: 22m, volts: 50, pins: {plus: P, minus: N}}\n',
      'b.yaml',
    );
    const event = { n: 2, at: '', say: 'residual P N 40 V', line: 2 };
    const [charge] = chargesOf(big, deriveJob(big, [event]));
    expect(charge).toMatchObject({ state: 'refused' });
    expect(charge?.joules).toBeCloseTo(0.5 * 0.022 * 40 * 40, 9);
  });

  it('is minded between any two points, capacitor or not', () => {
    expect(refusedCharge(charges([0, 'residual SIG PGND 90 V']))?.nets).toEqual([
      net('SIG'),
      net('PGND'),
    ]);
  });

  it('goes by the shop’s figures, and says whose they are', () => {
    const limits = { ...DEFAULT_DISCHARGE_LIMITS, refuseVolts: 25 };
    const event = { n: 2, at: '', say: 'residual HV MID 30 V', line: 2 };
    const [first] = chargesOf(board, deriveJob(board, [event]), limits);
    expect(first?.state).toBe('refused');
    expect(limitText(limits)).toMatch(/^25 V \(figure of this shop\) or 10 J \(capacitor hazard/);
    expect(limitText(DEFAULT_DISCHARGE_LIMITS)).toMatch(/^60 V \(IEC 62368-1, ES1\)/);
  });
});

describe('an electrolytic that was discharged', () => {
  const emptied = [
    [0, 'residual MID PGND 0 V'],
    [0, 'residual HV MID 210 V'],
    [1, 'residual HV MID 0.3 V'],
  ] as const;

  it('is measured once more after some minutes, and readings go on meanwhile', () => {
    const found = charges(...emptied);
    expect(stateOf(found, 'HV')).toBe('again');
    expect(due(found, probe('SIG', 'PGND'), 3)).toEqual([]);
    expect(due(found, probe('SIG', 'PGND'), 6)).toEqual(['HV/MID']);
  });

  it('counts as empty when it is still low then, and not when it has risen', () => {
    expect(stateOf(charges(...emptied, [2, 'residual HV MID 0.3 V']), 'HV')).toBe('again');
    expect(stateOf(charges(...emptied, [6, 'residual HV MID 0.4 V']), 'HV')).toBe('empty');
    expect(stateOf(charges(...emptied, [6, 'residual HV MID 4 V']), 'HV')).toBe('charged');
  });

  it('needs no second measurement when it was low from the first', () => {
    expect(stateOf(charges([0, 'residual HV MID 0.3 V']), 'HV')).toBe('empty');
  });
});
