import { describe, expect, test } from 'vitest';
import { loadBoard } from '../../src/board/load.ts';
import type { Board } from '../../src/board/model.ts';
import { useSettings } from '../../src/cli/engine.ts';
import { NO_EVIDENCE } from '../../src/faults/evidence.ts';
import type { FaultSettings } from '../../src/faults/settings.ts';
import { deriveJob } from '../../src/job/derive.ts';
import { learntFrom } from '../../src/job/memory/figures.ts';
import { advise, analyse, openWorkbench } from '../../src/steps/advise.ts';
import type { StepSettings } from '../../src/steps/settings.ts';
import type { Step } from '../../src/steps/step.ts';
import { play, shippedBoard } from '../cases/bench.ts';

function boardOf(parts: string): Board {
  const rails = 'rails:\n  bus: {plus: P24, minus: GND, volts: 24}\n';
  return loadBoard(`board: Winch supply\n${rails}parts:\n${parts}`, 'winch.yaml').board;
}

function adviceAfter(board: Board, lines: readonly string[], steps: Partial<StepSettings> = {}) {
  const events = lines.map((say, k) => ({ n: k + 2, at: '', say, line: k + 2 }));
  const { evidence, problems } = deriveJob(board, events);
  expect(problems).toEqual([]);
  return advise(analyse(openWorkbench(board, { steps }), evidence));
}

describe('banks as sets', () => {
  const board = boardOf(`  D1: {kind: suppressor, pins: {A: GND, K: P24}}
  Q1: {kind: n-mosfet, pins: {G: GATE, D: P24, S: GND}, heatsink: true, bank: switch}
  Q2: {kind: n-mosfet, pins: {G: GATE, D: P24, S: GND}, heatsink: true, bank: switch}
  R1: {kind: resistor, ohms: 10k, pins: [GATE, GND]}
`);
  const shorted = ['P24 GND beep', 'remove D1', 'P24 GND beep'];
  const [Q1, Q2] = ['Q1', 'Q2'].map((name) => board.partNamed.get(name)?.index);

  test('all of a bank comes off where the shop renews banks as sets', () => {
    const { step } = adviceAfter(board, shorted);
    expect(step).toMatchObject({ kind: 'remove', parts: [Q1, Q2] });
  });

  test('all of a bank is renewed in one go where it failed as good as certainly, in a shop that fits unread', () => {
    const { step, minutes } = adviceAfter(board, shorted, { fitUnreadWeight: 0.98 });
    expect(step).toEqual({ kind: 'replace', parts: [Q1, Q2] });
    // One heatsink off serves both: 8 min, then 5 out and 5 in for each.
    expect(minutes).toBe(28);
  });

  test('one part comes off at a time where it does not', () => {
    const looked = [...shorted, 'look Q1 looks sound', 'look Q2 looks sound'];
    const { step } = adviceAfter(board, looked, { replaceBanksAsSets: false });
    expect(step).toMatchObject({ kind: 'remove' });
    expect('parts' in step && step.parts).toHaveLength(1);
  });
});

describe('cheap parts on suspicion', () => {
  const board = boardOf(`  C1: {kind: ceramic, farads: 1u, volts: 50, pins: [P24, GND]}
  C2: {kind: electrolytic, farads: 470u, volts: 35, pins: {plus: P24, minus: GND}}
  D1: {kind: suppressor, pins: {A: GND, K: P24}}
  J1: {kind: connector, pins: {1: P24, 2: GND}}
`);
  const [C1 = -1, C2 = -1, D1 = -1] = ['C1', 'C2', 'D1'].map(
    (name) => board.partNamed.get(name)?.index,
  );
  const beep = ['P24 GND beep', 'P24 GND 0.4 ohm'];
  const cheap = { parts: new Set([C1, C2]), from: 0.1 };

  test('go first from the weight the shop sets on, and the reason says so', () => {
    const { step, why } = adviceAfter(board, beep, { suspicion: cheap });
    expect(step).toMatchObject({ kind: 'remove' });
    expect('parts' in step && [C1, C2].includes(step.parts[0] ?? -1)).toBe(true);
    expect(why).toContain('the shop replaces such parts on suspicion');
  });

  test('stay below that weight: the advice is the one without the policy', () => {
    const high = { parts: cheap.parts, from: 0.99 };
    expect(adviceAfter(board, beep, { suspicion: high })).toEqual(adviceAfter(board, beep));
  });

  test('are renewed without a reading on their own legs', () => {
    const out = ['P24 GND beep', 'remove C1 C2', 'P24 GND quiet', 'P24 GND OL'];
    expect(adviceAfter(board, out).step).toMatchObject({
      kind: 'read',
      probe: { offPart: expect.any(Number) },
    });
    const { step, why } = adviceAfter(board, out, { suspicion: cheap });
    expect(step.kind).toBe('replace');
    expect('parts' in step && [...step.parts].sort()).toEqual([C1, C2]);
    expect(why).toMatch(/cheap/);
  });

  test('are put back where a reading clears them', () => {
    const out = ['P24 GND beep', 'remove C1 D1', 'P24 GND quiet', 'P24 GND OL'];
    const cleared = [...out, 'off D1: A K 0.3 ohm', 'off C1: 1 2 OL'];
    const { step } = adviceAfter(board, cleared, { suspicion: cheap });
    expect(step).toMatchObject({ kind: 'replace', parts: [D1] });
    const fitted = adviceAfter(board, [...cleared, 'replace D1'], { suspicion: cheap });
    expect(fitted.step).toMatchObject({ kind: 'refit', parts: [C1] });
  });

  test('whole jobs still end clear, with the faults replaced and no leg of a cheap part read', () => {
    const flyback = shippedBoard('bench-flyback');
    const kinds = new Set(['ceramic', 'film', 'electrolytic']);
    const parts = flyback.parts.filter(({ kind }) => kinds.has(kind.name));
    useSettings(flyback, {
      steps: { suspicion: { parts: new Set(parts.map(({ index }) => index)), from: 0.2 } },
    });
    for (const name of ['C1', 'C6']) {
      const { played, job, replaced } = play(flyback, [{ part: name, mode: 'short' }]);
      expect(played.clear, name).toBe(true);
      expect(replaced, name).toContain(name);
      const legs = job.evidence.readings.filter(({ offPart }) =>
        parts.some(({ index }) => index === offPart),
      );
      expect(legs, name).toEqual([]);
    }
  });
});

describe('further failures', () => {
  const board = shippedBoard('hoist-drive');
  const learnt = { ...learntFrom({ boards: 40 }) };
  const adviceWith = (lines: readonly string[], further: number) => {
    const events = lines.map((say, k) => ({ n: k + 2, at: '', say, line: k + 2 }));
    const { evidence } = deriveJob(board, events);
    const workbench = openWorkbench(board, { faults: { learnt: { ...learnt, further } } });
    return advise(analyse(workbench, evidence));
  };
  const found = ['P48 GND beep', 'remove D1', 'off D1: A K 0.3 ohm', 'P48 GND quiet', 'replace D1'];

  test('count as the chances have them until a new piece goes in', () => {
    const lines = found.slice(0, 1);
    expect(adviceWith(lines, 0.1)).toEqual(adviceWith(lines, 1));
  });

  test('are looked for the less the rarer they were, and the rails are read again all the same', () => {
    expect(adviceWith(found, 0.1).minutesLeft).toBeLessThan(adviceWith(found, 1).minutesLeft);
    expect(adviceWith(found, 0.1)).toMatchObject({ phase: adviceWith(found, 1).phase });
    expect(adviceWith(found, 0.1).open).toEqual(adviceWith(found, 1).open);
  });
});

test('what past boards tie together is not renewed as a set, as a bank is', () => {
  const board = boardOf(`  C1: {kind: ceramic, farads: 1u, volts: 50, pins: [P24, GND]}
  R1: {kind: resistor, ohms: 10, pins: [GATE, P24]}
  R2: {kind: resistor, ohms: 10, pins: [GATE, OUT]}
  J1: {kind: connector, pins: {1: P24, 2: GND, 3: OUT}}
`);
  const learnt = learntFrom({ boards: 40, together: [['R1', 'R2', 0.2]] });
  const say = (text: string, k: number) => ({ n: k + 2, at: '', say: text, line: k + 2 });
  const lines = ['P24 GND quiet', 'P24 GATE OL', 'P24 GATE quiet'];
  const { evidence } = deriveJob(board, lines.map(say));
  const { hypotheses } = analyse(openWorkbench(board, { faults: { learnt } }), evidence);
  const known = ['R1', 'R2'].map((name) => board.partNamed.get(name)?.index);
  const units = hypotheses.flatMap((hypothesis) => hypothesis.units);
  expect(units.length).toBeGreaterThan(0);
  for (const { what, parts } of units) {
    if (what === 'part') expect(known).toEqual(expect.arrayContaining([...parts]));
    expect(parts.length).toBeLessThan(2);
  }
});

test('rails are read in the order of the file, and with a memory first where parts failed before', () => {
  const board = shippedBoard('hoist-drive');
  const firstRail = (faults: Partial<FaultSettings>): string => {
    const { step } = advise(analyse(openWorkbench(board, { faults }), NO_EVIDENCE));
    const { red, black } = (step as Extract<Step, { kind: 'read' }>).probe;
    return [red, black].map(({ net }) => board.nets[net]?.name).join(' ');
  };
  const { plus, minus } = board.rails.at(-1) ?? { plus: -1, minus: -1 };
  const there = board.parts.find(({ pins, kind }) => {
    const nets = pins.map((pin) => board.pins[pin]?.net);
    return kind.name === 'ceramic' && nets.includes(plus) && nets.includes(minus);
  });
  const learnt = learntFrom({ boards: 40, parts: { [there?.name ?? '']: 2000 } });
  expect(firstRail({})).toBe('P48 GND');
  expect(firstRail({ learnt })).toBe([plus, minus].map((net) => board.nets[net]?.name).join(' '));
});
