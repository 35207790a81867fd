// A tool that knows a simulated shop: its own shares in place of the handbooks', what goes with what, its hands.
import { unitOf } from '../../dist/faults/learnt.js';
import { drawBoard, timesOf } from './memory-shop.mjs';

/** Boards that are drawn to count what a formula would have to be found for. */
const DRAWN = 4000;

export function knowing({ board, bench }, shop) {
  const { priors, circuit } = bench;
  const counts = counted(board, shop);
  const parts = new Map(
    board.parts.map(({ name, index }) => {
      const listed = { short: 0, open: 0 };
      circuit.models[index].modes.forEach(({ opens }, k) => {
        listed[opens ? 'open' : 'short'] += priors.modes[index][k];
      });
      const own = counts.alone.get(name) ?? { short: 0, open: 0 };
      const ratio = (way) => (listed[way] > 0 ? Math.max(own[way] / DRAWN, 1e-5) / listed[way] : 1);
      return [name, { short: ratio('short'), open: ratio('open') }];
    }),
  );
  const banks = priors.banks.map(({ parts: [first], chance }) => {
    const { bank } = board.parts[first];
    return [bank, Math.max((counts.banks.get(bank) ?? 0) / DRAWN, 1e-5) / chance];
  });
  const together = [...counts.pairs]
    .filter(
      ([pair, count]) =>
        count > DRAWN / 1000 && pair.split('\n').some((unit) => board.partNamed.has(unit)),
    )
    .map(([pair, count]) => ({ units: pair.split('\n'), chance: (2 * count) / DRAWN }));
  const learnt = {
    parts,
    duties: new Map(),
    kinds: new Map(),
    otherKinds: 1,
    joints: new Map(),
    otherJoints: 0.01,
    banks: new Map(banks),
    otherBanks: 1,
    together,
    further: counts.further / (DRAWN + counts.further),
    past: { boards: 0, failed: new Map() },
  };
  return { faults: { learnt }, steps: { times: timesOf(shop) } };
}

/** What is found of how many boards: alone, in banks that go together, and two by two. */
function counted(board, shop) {
  const [alone, banks, pairs] = [new Map(), new Map(), new Map()];
  const add = (map, key) => map.set(key, (map.get(key) ?? 0) + 1);
  let further = 0;
  for (let n = 0; n < DRAWN; n++) {
    const faults = drawBoard(shop, 1_000_000 + n);
    const found = faults.map(({ part }) => board.partNamed.get(part));
    const units = [...new Set(found.map(unitOf))].sort();
    further += units.length - 1;
    faults.forEach(({ part, opens }, at) => {
      const mates = found.filter(({ bank }) => bank !== undefined && bank === found[at].bank);
      if (mates.length > 1) {
        if (mates[0] === found[at]) add(banks, found[at].bank);
        return;
      }
      if (units.length > 1) return;
      const held = alone.get(part) ?? { short: 0, open: 0 };
      held[opens ? 'open' : 'short']++;
      alone.set(part, held);
    });
    for (const [at, one] of units.entries()) {
      for (const other of units.slice(at + 1)) add(pairs, `${one}\n${other}`);
    }
  }
  return { alone, banks, pairs, further };
}
