import { describe, expect, it } from 'vitest';
import type { Board } from '../../src/board/model.ts';
import { Circuit } from '../../src/circuit/circuit.ts';
import { deriveJob } from '../../src/job/derive.ts';
import { functionStates } from '../../src/job/function-checks.ts';
import { type PowerPlan, powerPlan } from '../../src/job/power-plan.ts';
import { nextStage, powerStages } from '../../src/job/power-progress.ts';
import { railLoad } from '../../src/job/rail-load.ts';
import { shippedBoard } from '../cases/bench.ts';
import { events } from './events.ts';

const BOARDS = ['hoist-drive', 'bypass-rail', 'bench-flyback'] as const;

function planOf(board: Board): PowerPlan {
  return powerPlan(new Circuit(board));
}

function names(board: Board, rails: readonly number[]): string {
  return rails.map((rail) => board.rails[rail]?.name).join(', ');
}

const hoist = shippedBoard('hoist-drive');
const hoistPlan = planOf(hoist);
const flyback = shippedBoard('bench-flyback');
const flybackPlan = planOf(flyback);

describe('the plan for first power', () => {
  it.each(BOARDS)('of %s reads every rail, and numbers its stages from one', (name) => {
    const board = shippedBoard(name);
    const { stages } = planOf(board);
    const read = new Set(stages.flatMap(({ rails }) => rails));
    expect([...read].sort((a, b) => a - b)).toEqual(board.rails.map((_, k) => k));
    expect(stages.map(({ number }) => number)).toEqual(stages.map((_, k) => k + 1));
  });

  it.each(BOARDS)('of %s raises voltage and limit step by step', (name) => {
    for (const { feed, steps } of planOf(shippedBoard(name)).stages) {
      if (feed.how !== 'source') continue;
      const volts = steps.map((step) => step.volts ?? 0);
      expect([...volts].sort((a, b) => a - b)).toEqual(volts);
      const limits = steps.flatMap(({ limitAmps }) => limitAmps ?? []);
      expect([...limits].sort((a, b) => a - b)).toEqual(limits);
      expect(limits.length === steps.length).toBe(!feed.source.isMains);
    }
  });

  it.each(BOARDS)('of %s expects what lies between its own bounds', (name) => {
    const checks = planOf(shippedBoard(name)).stages.flatMap(({ steps }) =>
      steps.flatMap((step) => step.checks),
    );
    for (const { expected, least, most } of checks) {
      if (expected === undefined) continue;
      expect(least).toBeLessThan(expected);
      expect(most).toBeGreaterThan(expected);
    }
  });

  it('feeds what lies behind a transformer first, least energy first, and mains last', () => {
    const fed = flybackPlan.stages.flatMap(({ feed, rails, joules }) =>
      feed.how === 'source'
        ? [{ rails: names(flyback, rails), mains: feed.source.isMains, joules }]
        : [],
    );
    expect(fed.map(({ rails }) => rails)).toEqual([
      'primary supply',
      '8 V raw, 5 V',
      '24 V',
      'mains, bulk',
    ]);
    expect(fed.map(({ mains }) => mains)).toEqual([false, false, false, true]);
    const joules = fed.map((each) => each.joules);
    expect([...joules].sort((a, b) => a - b)).toEqual(joules);
  });

  it('puts a lamp by the fuse before mains, and takes it out last', () => {
    const mains = flybackPlan.stages.find(
      ({ feed }) => feed.how === 'source' && feed.source.isMains,
    );
    expect(mains?.feed).toMatchObject({ source: { fuseAmps: 2, lampWatts: 60 } });
    expect(mains?.steps.map(({ share, isWithoutLamp }) => [share, isWithoutLamp === true])).toEqual(
      [
        [0.1, false],
        [0.5, false],
        [1, false],
        [1, true],
      ],
    );
  });

  it('expects the bulk rail to follow the mains', () => {
    const mains = flybackPlan.stages[3];
    const bulk = mains?.steps.map(({ checks }) => checks[1]?.expected);
    expect(bulk).toEqual([32.5, 162.5, 325, 325]);
  });

  it('does without separate feeds on a low-voltage board', () => {
    expect(hoistPlan.isDangerous).toBe(false);
    expect(hoistPlan.stages.map(({ feed }) => feed.how)).toEqual(['source', 'board', 'board']);
  });

  it('knows the current of the resistors, and which get warm', () => {
    const [bus] = hoistPlan.stages;
    // 22 kΩ beside 160 kΩ, at 48 V.
    expect(bus?.load?.amps).toBeCloseTo(48 / 22e3 + 48 / 160e3, 6);
    expect(bus?.load?.heated.map(({ part }) => hoist.parts[part]?.name)).toEqual(['R1']);
    expect(bus?.load?.heated[0]?.watts).toBeCloseTo(48 ** 2 / 22e3, 6);
  });

  it('counts a light-emitting diode on the rail, and gives no figure across a winding', () => {
    const circuit = new Circuit(flyback);
    const rail = flyback.rails.find(({ name }) => name === '5 V');
    const load = railLoad(circuit, rail?.plus ?? -1, rail?.minus ?? -1, 5);
    expect(load?.amps).toBeCloseTo(3 / 1000, 6);
    const [aux, ground] = ['AUX', 'PGND'].map((net) => flyback.netNamed.get(net)?.index ?? -1);
    expect(railLoad(circuit, aux ?? -1, ground ?? -1, 15)).toBeUndefined();
  });

  it('keeps an eye on what carries the feed, and not on what is meant to get warm', () => {
    const [bus, twelve] = hoistPlan.stages;
    const cool = (parts: readonly number[] = []) => parts.map((part) => hoist.parts[part]?.name);
    expect(cool(twelve?.cool)[0]).toBe('U5');
    expect(cool(bus?.cool)).toContain('C6');
    expect(cool(bus?.cool)).not.toContain('R1');
  });
});

describe('how far power-up has come', () => {
  const stagesAfter = (...says: string[]) =>
    powerStages(hoist, hoistPlan, deriveJob(hoist, events(...says)));
  const verdicts = (...says: string[]) =>
    stagesAfter(...says).flatMap(({ stage, readings }) =>
      readings.map(({ verdict, share }) => [stage.number, verdict, share]),
    );

  it('begins with the first stage and goes on as stages pass', () => {
    expect(nextStage(stagesAfter())?.stage.number).toBe(1);
    expect(nextStage(stagesAfter('power 1 passed'))?.stage.number).toBe(2);
    expect(
      nextStage(stagesAfter('power 1 passed', 'power 2 passed', 'power 3 passed')),
    ).toBeUndefined();
  });

  it('asks for a stage again once the board was changed', () => {
    const [first] = stagesAfter('power 1 passed', 'replace C1');
    expect(first).toMatchObject({ state: 'again', event: 2 });
  });

  it('holds a stop until the board is worked on, and voids what passed before it', () => {
    const stages = stagesAfter('power 1 passed', 'power 2 stopped smoke at U5');
    expect(stages.map(({ state }) => state)).toEqual(['again', 'stopped', 'to do']);
    expect(stages[1]?.text).toBe('smoke at U5');
    expect(stagesAfter('power 2 stopped smoke', 'replace U5')[1]?.state).toBe('to do');
  });

  it('holds each voltage against the step it fits', () => {
    expect(
      verdicts('powered P48 GND 4.8 V', 'powered P48 GND 24.3 V', 'powered P48 GND 47.9 V'),
    ).toEqual([
      [1, 'within', 0.1],
      [1, 'within', 0.5],
      [1, 'within', 1],
    ]);
    expect(verdicts('powered P48 GND 52 V')).toEqual([[1, 'high', 1]]);
    expect(verdicts('powered P48 GND 41 V')).toEqual([[1, 'low', 1]]);
    expect(verdicts('powered P48 GND -48 V')).toEqual([[1, 'reversed', 0.1]]);
    expect(verdicts('powered GND P48 -47.9 V')).toEqual([[1, 'within', 1]]);
  });

  it('counts a rail as read only at its full voltage', () => {
    const unread = (...says: string[]) => names(hoist, stagesAfter(...says)[1]?.unread ?? []);
    expect(unread('power 1 passed', 'powered V12 GND_LOG 11.9 V')).toBe('gate drive');
    expect(unread('power 1 passed', 'powered V12 GND_LOG 3 V')).toBe('gate drive, 12 V');
  });

  it('tells a current over the limit', () => {
    expect(verdicts('draws bus 0.12 A', 'draws bus 0.8 A').map(([, verdict]) => verdict)).toEqual([
      'within',
      'over',
    ]);
  });

  it('keeps only what was read since the last change', () => {
    expect(verdicts('powered P48 GND 47.9 V', 'replace C1')).toEqual([]);
  });

  it('lists the function checks of the shop, and those of one’s own after them', () => {
    const job = deriveJob(
      hoist,
      events('function passed Brake holds at 12 kg', 'function failed fan turns'),
    );
    expect(functionStates(['brake holds', 'lifts'], job)).toEqual([
      // The failed one came after and voids what passed before it.
      { text: 'brake holds', state: 'to do', isAsked: true },
      { text: 'lifts', state: 'to do', isAsked: true },
      { text: 'fan turns', state: 'failed', isAsked: false, event: 3 },
    ]);
    const passed = deriveJob(hoist, events('function passed Brake holds at 12 kg'));
    expect(functionStates(['brake holds'], passed)[0]).toMatchObject({ state: 'passed', event: 2 });
  });
});
