import fc from 'fast-check';
import { expect, test } from 'vitest';
import { stateKey } from '../../src/circuit/state.ts';
import type { Bench } from '../../src/faults/diagnose.ts';
import type { Evidence } from '../../src/faults/evidence.ts';
import { lackOf, ShortStrengths } from '../../src/faults/short-strengths.ts';
import { strongShorts } from '../../src/faults/strong-shorts.ts';
import { worldOf } from '../../src/faults/world.ts';
import { along, board, event } from './events-of-a-job.ts';
import { smallBench } from './random-board.ts';

const PAIRS = [
  ['P48', 'LED'],
  ['IN', 'LED'],
  ['IN', 'P48'],
].map((names) => names.map((name) => board.nets.findIndex((net) => net.name === name)));

/** Fails where what is said of a pair, without faults and with some short there, is not what sorting anew says. */
function checkPairs({ circuit, universes }: Bench, evidence: Evidence): number {
  const { universe, states } = universes.for(evidence);
  const { state } = evidence;
  const here = states.at({ state, stateKey: stateKey(state) });
  const strengths = new ShortStrengths(circuit);
  const last = universe.faults.findLast(({ id, members }) => {
    return members.length > 0 && here.branchesOf(id).length > 0;
  });
  let sorted = 0;
  for (const there of [[], last === undefined ? [] : [last.id]]) {
    const world = worldOf(circuit, universe, state, there);
    for (const [a = 0, b = 0] of PAIRS) {
      const limit = world.view.network.solve(a, b, world.added).ohms / 3;
      const strong = strengths.of({ world, universe, here }, [a, b], limit);
      const lack = lackOf(world, [a, b], limit);
      const anew = lack && strongShorts(universe, here, lack, 1e-3);
      expect(strong?.shorts).toEqual(anew?.shorts);
      if (strong === undefined || anew === undefined) continue;
      expect(strong.leftOut).toBeCloseTo(anew.leftOut, 12);
      expect(strong.work).toBe(here.table.ids.length / 10_000);
      sorted += strong.shorts.length;
    }
  }
  return sorted;
}

test('after any changes shorts sorted before are sorted as they would be anew', () => {
  const kept = smallBench(board, {});
  let sorted = 0;
  fc.assert(
    fc.property(fc.array(event, { maxLength: 6 }), (events) => {
      for (const evidence of along(events)) sorted += checkPairs(kept, evidence);
    }),
  );
  expect(sorted).toBeGreaterThan(1000);
});
