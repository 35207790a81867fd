// What a job teaches in which everything that had failed was found, on a board of a simulated shop: what its
// record would come to, without the readings.
import { dutyOf } from '../../dist/board/duty.js';
import { unitOf } from '../../dist/faults/learnt.js';
import { expectedOn } from '../../dist/job/memory/expected.js';
import { mountOf } from '../../dist/steps/bench-times.js';
import { drawBoard, normal, timesOf } from './memory-shop.mjs';

export function lessonOf({ board, bench }, shop, n) {
  const faults = drawBoard(shop, n);
  const found = faults.map(({ part }) => board.partNamed.get(part));
  const banks = found.flatMap(({ bank }) => bank ?? []);
  const together = [...new Set(banks.filter((bank, at) => banks.indexOf(bank) !== at))];
  return {
    job: `${n}`.padStart(6, '0'),
    board: board.name,
    at: new Date(n * 86_400_000).toISOString(),
    teaches: { weight: 0.9, why: 'read clear, and it ran' },
    failed: found.map((part, at) => ({
      part: part.name,
      kind: part.kind.name,
      duty: dutyOf(board, part),
      how: faults[at].opens ? 'open' : 'short',
      by: 'own legs',
      sure: 1,
      ...(together.includes(part.bank) ? { bank: part.bank } : {}),
    })),
    renewed: [],
    cleared: [],
    joints: [],
    banks: together,
    units: [...new Set(found.map(unitOf))].sort(),
    expected: expectedOn(board, bench),
    minutes: timings(board, shop, faults, n),
    stages: {},
  };
}

/** Twenty readings, and each failed part off and a new one in, as a hand of that shop is quick. */
function timings(board, shop, faults, n) {
  const random = normal(n * 31 + 7);
  const times = timesOf(shop);
  const sums = {};
  const note = (action, minutes) => {
    const log = Math.log(minutes) + 0.4 * random() - 0.08;
    const [count, sum, squares] = sums[action] ?? [0, 0, 0];
    sums[action] = [count + 1, sum + log, squares + log * log];
  };
  for (let k = 0; k < 20; k++) note('reading continuity', times.reading.continuity);
  for (const { part } of faults) {
    const mount = mountOf(board.partNamed.get(part));
    if (mount === 'many leads') continue;
    note(`remove ${mount}`, times.remove[mount]);
    note(`fit ${mount}`, times.fit[mount]);
  }
  return sums;
}
