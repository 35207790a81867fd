import fc from 'fast-check';
import { expect, test } from 'vitest';
import { loadBoard } from '../../src/board/load.ts';
import { AS_FOUND, stateKey, withLifted } from '../../src/circuit/state.ts';
import { type Evidence, NO_EVIDENCE } from '../../src/faults/evidence.ts';
import type { Problem } from '../../src/faults/problem.ts';
import { analyse, openWorkbench, type Workbench } from '../../src/steps/advise.ts';
import { surveyMap } from '../../src/steps/survey-map.ts';
import { along, board, event } from '../faults/events-of-a-job.ts';

/** What every pair of nets would show, and what no pair would, by what the faults say. */
function told(workbench: Workbench, evidence: Evidence): unknown {
  const { problem } = analyse(workbench, { ...evidence, readings: [] }).beliefs;
  const { state } = evidence;
  const map = surveyMap(problem, state, problem.states.at({ state, stateKey: stateKey(state) }));
  const { places, starts, faults, beeped, measured } = map.pairs;
  const shown: unknown[] = [];
  for (let place = 0; place < places.size; place++) {
    const ids = [...faults.subarray(starts[place], starts[place + 1])];
    expect(ids).toEqual([...new Set(ids)].sort((x, y) => x - y));
    const mode = places.mode(place);
    const { red, black } = places.probe(place);
    expect(map.placeOf(mode, black.net, red.net)).toBe(place);
    const isOhms = mode === 'ohms';
    const other = map.placeOf(isOhms ? 'continuity' : 'ohms', red.net, black.net);
    expect([beeped[place], measured[place]]).toEqual(isOhms ? [other, -1] : [-1, other]);
    if (ids.length > 0)
      shown.push([mode, red.net, black.net, ids.map((id) => nameOf(problem, id)).sort()]);
  }
  const hidden = map.hidden.map(({ id }) => nameOf(problem, id));
  return { shown: shown.map((one) => JSON.stringify(one)).sort(), hidden };
}

function nameOf({ universe }: Problem, id: number): string {
  const { mode, members, piece, branches } = universe.faults[id]!;
  return JSON.stringify([mode, members.map(({ part }) => part), piece, branches]);
}

test('after any changes a map corrected for them tells what one made anew does', () => {
  const kept = openWorkbench(board);
  fc.assert(
    fc.property(fc.array(event, { maxLength: 6 }), (events) => {
      for (const evidence of along(events)) {
        expect(told(kept, evidence)).toEqual(told(openWorkbench(board), evidence));
      }
    }),
    { numRuns: 40 },
  );
});

/** A rail with a capacitor, and loads on it behind a few ohms each. */
function railWithLoads(count: number): Workbench {
  const loads = Array.from(
    { length: count },
    (_, k) => `  R${k}: {kind: resistor, ohms: ${2 + k}, pins: [P12, L${k}]}
  D${k}: {kind: diode, pins: {A: GND, K: L${k}}}`,
  );
  const { board: rail } = loadBoard(
    `board: Rail
rails: {bus: {plus: P12, minus: GND, volts: 12}}
parts:
  C1: {kind: ceramic, farads: 1u, pins: [P12, GND]}
  J1: {kind: connector, pins: [P12, GND]}
${loads.join('\n')}
`,
    'rail',
  );
  return openWorkbench(rail);
}

test('so it does where parts that conduct are lifted and fitted again', () => {
  const COUNT = 20;
  const kept = railWithLoads(COUNT);
  const pinOf = (name: string): number =>
    kept.board.parts.find((part) => part.name === name)?.pins[0] ?? -1;
  const lift = fc.array(fc.nat(COUNT - 1), { maxLength: 3 });
  fc.assert(
    fc.property(fc.array(lift, { minLength: 1, maxLength: 4 }), (states) => {
      for (const lifted of states) {
        const state = withLifted(
          AS_FOUND,
          lifted.map((k) => pinOf(`R${k}`)),
        );
        const evidence = { ...NO_EVIDENCE, state };
        expect(told(kept, evidence)).toEqual(told(railWithLoads(COUNT), evidence));
      }
    }),
    { numRuns: 15 },
  );
});
