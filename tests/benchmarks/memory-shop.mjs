// A simulated shop: what really fails on a board there, with what, and how quick its hands are. Nothing of it
// is drawn from the handbooks or shared with what learns from it.
import { DEFAULT_BENCH_TIMES } from '../../dist/steps/bench-times.js';
import { dice } from './dice.mjs';

/** Spread of ln(share) over the parts, and of ln(minutes) of a shop's hands. */
const PART_SPREAD = 1.5;
const HAND_SPREAD = 0.5;
const PAIRS = 3;

export function normal(seed) {
  const next = dice(seed);
  return () => Math.sqrt(-2 * Math.log(next() + 1e-12)) * Math.cos(2 * Math.PI * next());
}

/** Shares of parts, each with one mode of its own; a few parts take another with them. */
export function drawShop({ board, bench }, seed) {
  const random = normal(seed);
  const next = dice(seed + 77);
  const { beepOhms } = bench.meter;
  const parts = board.parts.flatMap(({ name, index, bank }) => {
    const { modes, healthy } = bench.circuit.models[index];
    // A cold board shows shorts, and links or fuses gone open.
    const seen = modes.filter(
      ({ joins, opens }) =>
        (joins.length > 0 && joins.every(({ ohms }) => ohms < beepOhms / 4)) ||
        (opens && healthy.some(({ ohms }) => ohms < beepOhms / 4)),
    );
    const mode = seen[Math.floor(next() * seen.length)];
    const share = Math.exp(PART_SPREAD * random());
    return mode === undefined ? [] : [{ name, bank, mode: mode.name, opens: mode.opens, share }];
  });
  const sum = parts.reduce((total, { share }) => total + share, 0);
  for (const part of parts) part.share /= sum;
  const takes = new Map();
  for (let k = 0; k < PAIRS; k++) {
    const one = parts[Math.floor(next() * parts.length)];
    const other = parts[Math.floor(next() * parts.length)];
    if (one !== other && one.bank === undefined && other.bank === undefined) {
      takes.set(one.name, other);
    }
  }
  const chances = new Map(
    parts.map(({ name, share, opens }) => [
      name,
      opens ? { short: 0, open: share } : { short: share, open: 0 },
    ]),
  );
  const hands = {};
  for (const action of ['reading', 'remove', 'fit'])
    hands[action] = Math.exp(HAND_SPREAD * random());
  return { seed, parts, takes, chances, hands };
}

/** What has failed on one board: one part, mates of its bank by the toss of a coin, and what it takes along. */
export function drawBoard({ seed, parts, takes }, n) {
  const next = dice(seed * 1_000_003 + n);
  const at = next();
  let below = 0;
  const first =
    parts.find(({ share }) => {
      below += share;
      return at < below;
    }) ?? parts[0];
  const along = takes.get(first.name);
  const mates = parts.filter(
    ({ name, bank }) => bank !== undefined && bank === first.bank && name !== first.name,
  );
  const failed = [
    first,
    ...mates.filter(() => next() < 0.4),
    ...(along !== undefined && next() < 0.6 ? [along] : []),
  ];
  return failed.map(({ name, mode, opens }) => ({ part: name, mode, opens }));
}

export function timesOf({ hands }) {
  const scaled = (table, factor) =>
    Object.fromEntries(Object.entries(table).map(([key, minutes]) => [key, minutes * factor]));
  const { reading, remove, fit } = DEFAULT_BENCH_TIMES;
  return {
    ...DEFAULT_BENCH_TIMES,
    reading: scaled(reading, hands.reading),
    remove: scaled(remove, hands.remove),
    fit: scaled(fit, hands.fit),
  };
}
