import fc from 'fast-check';
import { expect, test } from 'vitest';
import { stateKey } from '../../src/circuit/state.ts';
import type { Evidence } from '../../src/faults/evidence.ts';
import type { Problem } from '../../src/faults/problem.ts';
import { analyse, openWorkbench, type Workbench } from '../../src/steps/advise.ts';
import { surveyMap } from '../../src/steps/survey-map.ts';
import { along, board, event } from '../faults/events-of-a-job.ts';

/** What every pair of nets would show, and what no pair would, by what the faults say. */
function told(workbench: Workbench, evidence: Evidence): unknown {
  const { problem } = analyse(workbench, { ...evidence, readings: [] }).beliefs;
  const { state } = evidence;
  const map = surveyMap(problem, state, problem.states.at({ state, stateKey: stateKey(state) }));
  const { places, starts, faults } = map.pairs;
  const shown: unknown[] = [];
  for (let place = 0; place < places.size; place++) {
    const ids = [...faults.subarray(starts[place], starts[place + 1])];
    expect(ids).toEqual([...new Set(ids)].sort((x, y) => x - y));
    const mode = places.mode(place);
    const { red, black } = places.probe(place);
    expect(map.placeOf(mode, black.net, red.net)).toBe(place);
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
