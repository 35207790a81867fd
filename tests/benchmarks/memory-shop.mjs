// A simulated shop: what really fails on a board there, with what, and how quick its hands are. Nothing of it
// is drawn from the handbooks or shared with what learns from it.
import { Clock, DEFAULT_BENCH_TIMES } from '../../dist/steps/bench-times.js';
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
  // Some take another with them: a part of no bank, and whatever of a bank it drives.
  const takes = new Map();
  const single = parts.filter(({ bank }) => bank === undefined);
  const pick = (list) => list[Math.floor(next() * list.length)];
  for (let k = 0; k < PAIRS; k++) {
    const [one, other] = [pick(parts), pick(single)];
    const all = parts.filter(
      ({ name, bank }) => name === one.name || (bank !== undefined && bank === one.bank),
    );
    if (one !== other) for (const { name } of all) takes.set(name, other);
  }
  const hands = {};
  for (const action of ['reading', 'remove', 'fit'])
    hands[action] = Math.exp(HAND_SPREAD * random());
  return { seed, parts, takes, hands };
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

const clocks = new Map();

/** What a step costs in the shop, whatever the tool took it to cost. */
export function stepMinutes(board, shop, step, state) {
  const clock = clocks.get(shop) ?? new Clock(board, timesOf(shop));
  clocks.set(shop, clock);
  const then = 'then' in step && step.then !== undefined ? clock.read(step.then) : 0;
  switch (step.kind) {
    case 'read':
      return clock.read(step.probe);
    case 'lift':
      return clock.liftLeg(board.parts[step.part]) + then;
    case 'remove':
      return clock.remove(step.parts, state) + then;
    case 'refit':
      return clock.fit(step.parts, state);
    case 'replace':
      return clock.replace(step.parts, state);
    case 'reflow':
      return step.pins.length * clock.reflow;
    case 'done':
      return 0;
    default:
      return clock.look;
  }
}
