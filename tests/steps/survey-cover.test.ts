import { describe, expect, it } from 'vitest';
import { loadBoard } from '../../src/board/load.ts';
import { fit as likelihood } from '../../src/circuit/likelihood.ts';
import { AS_FOUND, netPairKey, stateKey } from '../../src/circuit/state.ts';
import { NO_EVIDENCE } from '../../src/faults/evidence.ts';
import { predict, worldOf } from '../../src/faults/world.ts';
import { advise, analyse, openWorkbench } from '../../src/steps/advise.ts';
import { keepsProbe } from '../../src/steps/reach.ts';
import { surveyMap } from '../../src/steps/survey-map.ts';
import { firstOfTour } from '../../src/steps/survey-tour.ts';
import { Job, shippedBoard } from '../cases/bench.ts';

const RISK = 0.02;
/** Fainter faults no survey asks for. */
const FAINT = 1e-6;

describe.each(['hoist-drive', 'bench-flyback'])('the survey of %s', (name) => {
  const workbench = openWorkbench(shippedBoard(name));
  const { survey, beliefs, offers } = analyse(workbench, NO_EVIDENCE);
  const { problem, chance } = beliefs;
  const here = { state: AS_FOUND, stateKey: stateKey(AS_FOUND) };
  const map = surveyMap(problem, AS_FOUND, problem.states.at(here));
  const { places, starts, faults } = map.pairs;
  const cover = survey.cover(RISK, workbench.clock, offers);
  const shownBy = ({ probe: { mode, red, black } }: (typeof cover)[number]): number[] => {
    // A pair measured in ohms need not be beeped as well.
    const at = [mode, ...(mode === 'ohms' ? (['continuity'] as const) : [])].map((one) =>
      map.placeOf(one as 'continuity' | 'ohms', red.net, black.net),
    );
    return at
      .filter((place) => place >= 0)
      .flatMap((place) => [...faults.subarray(starts[place], starts[place + 1])]);
  };
  const leftBy = (readings: typeof cover): number => {
    const seen = new Set(readings.flatMap(shownBy));
    const all = new Set([...faults].filter((id) => (chance[id] ?? 0) >= FAINT));
    return [...all].reduce((sum, id) => sum + (seen.has(id) ? 0 : (chance[id] as number)), 0);
  };

  it('leaves no more unread than it may', () => {
    expect(leftBy([])).toBeCloseTo(survey.unread, 9);
    expect(leftBy(cover)).toBeLessThanOrEqual(RISK + 1e-9);
  });

  it('has no reading that the others make idle', () => {
    for (const reading of cover) {
      expect(leftBy(cover.filter((other) => other !== reading))).toBeGreaterThan(RISK - 1e-9);
    }
  });

  it('speaks for no fault beside which the meter would show what it shows of a healthy board', () => {
    const { circuit, universe, meter } = problem;
    const healthy = worldOf(circuit, universe, AS_FOUND, []);
    let told = 0;
    for (let place = 0; place < places.size; place++) {
      const { mode, red, black } = places.probe(place);
      const sound = predict(healthy, red.net, black.net);
      const isBeep = sound.ohms < meter.beepOhms;
      const value =
        mode === 'ohms'
          ? ({ kind: 'ohms', ohms: sound.ohms } as const)
          : ({ kind: isBeep ? 'beep' : 'quiet' } as const);
      for (const id of faults.subarray(starts[place], starts[place + 1])) {
        const failed = worldOf(circuit, universe, AS_FOUND, [id]);
        const shown = likelihood(meter, mode, value, predict(failed, red.net, black.net));
        expect(shown).toBeLessThan(0.1 * likelihood(meter, mode, value, sound));
        told++;
      }
    }
    expect(told).toBeGreaterThan(100);
  });
});

/** Two grounds with parts to each, a link between them, and a part by itself. */
const STARS = `board: Two areas
parts:
${[1, 2, 3, 4].map((k) => `  C${k}: {kind: ceramic, farads: 1u, pins: [A${k}, GND_A]}`).join('\n')}
${[1, 2, 3, 4].map((k) => `  C${k + 4}: {kind: ceramic, farads: 1u, pins: [B${k}, GND_B]}`).join('\n')}
  C9: {kind: ceramic, farads: 1u, pins: [P, N]}
  F1: {kind: fuse, pins: [GND_A, GND_B]}
`;

describe('the order of a survey', () => {
  const { board } = loadBoard(STARS, 'stars.yaml');

  it('leaves a net once nothing more is read against it', () => {
    const workbench = openWorkbench(board);
    const { survey, offers } = analyse(workbench, NO_EVIDENCE);
    let left = survey.cover(0, workbench.clock, offers);
    expect(left).toHaveLength(10);
    let evidence = NO_EVIDENCE;
    let isMoved = 0;
    while (left.length > 0) {
      const next = firstOfTour({ workbench, evidence }, left);
      if (next === undefined) throw new Error('nothing to begin with');
      const last = evidence.readings.at(-1);
      if (last === undefined || !keepsProbe(last, next.probe)) isMoved++;
      const id = evidence.readings.length + 1;
      const reading = { ...next.probe, value: { kind: 'quiet' }, state: AS_FOUND, id } as const;
      evidence = { ...evidence, readings: [...evidence.readings, reading] };
      left = left.filter((one) => one !== next);
    }
    expect(isMoved).toBe(2);
  });
});

const RAILS = `board: Two rails
rails: {main: {plus: A, minus: GND, volts: 12}, other: {plus: B, minus: GND, volts: 5}}
parts:
  C1: {kind: ceramic, farads: 1u, pins: [A, GND]}
  C2: {kind: ceramic, farads: 1u, pins: [B, GND]}
  D1: {kind: diode, pins: {A: X, K: Y}}
  D2: {kind: diode, pins: {A: V, K: W}}
`;

describe('once a part was renewed', () => {
  const job = new Job(loadBoard(RAILS, 'rails.yaml').board);
  const repaired = ['A GND beep', 'B GND quiet', 'remove C1', 'A GND quiet', 'replace C1'];
  const pairOf = (says: readonly string[]): string => {
    const { step } = job.next(says);
    if (step.kind !== 'read') throw new Error(step.kind);
    return netPairKey(step.probe.red.net, step.probe.black.net);
  };

  it('the rail it had joined is read again at once', () => {
    expect(pairOf(repaired)).toBe(netPairKey(job.net('A'), job.net('GND')));
  });

  it('a rail that nothing was wrong with is read again before the job ends', () => {
    const other = netPairKey(job.net('B'), job.net('GND'));
    const said = [...repaired];
    const read: string[] = [];
    for (let step = job.next(said).step; step.kind === 'read'; step = job.next(said).step) {
      const { red, black } = step.probe;
      read.push(netPairKey(red.net, black.net));
      const [a, b] = [red.net, black.net].map((net) => job.board.nets[net]?.name);
      said.push(`${a} ${b} quiet`);
    }
    expect(read).toContain(other);
    expect(advise(job.after(said)).phase).toBe('clear');
  });
});
