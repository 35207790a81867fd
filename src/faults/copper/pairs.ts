import type { Universe } from '../universe.ts';
import type { CopperFit } from './copper-fit.ts';
import type { CopperReading } from './copper-readings.ts';
import type { GroupFit } from './group-fit.ts';
import type { Short } from './short.ts';

/** Two shorts on one rail that fit its copper readings together. */
export interface ShortPair {
  readonly faults: readonly [number, number];
  /** ln of chance of the second and density. */
  readonly log: number;
}

const KNOWN = new WeakMap<CopperFit, (readonly ShortPair[])[]>();

/** Pairs of shorts that may well be there; none where one short explains all that was read. */
export function likelyPairs(
  copper: CopperFit,
  group: number,
  universe: Universe,
): readonly ShortPair[] {
  let known = KNOWN.get(copper);
  if (known === undefined) {
    known = [];
    KNOWN.set(copper, known);
  }
  known[group] ??= findPairs(copper, group, universe);
  return known[group];
}

/** Singles that pairs are made of, and what they are tried with. */
const MOST_FIRST = 4;
const MOST_WEIGHED = 6;
/** Fewer readings than this tell two shorts from one by nothing. */
const LEAST_READINGS = 3;

function findPairs(copper: CopperFit, k: number, universe: Universe): ShortPair[] {
  const group = copper.groups[k];
  if (group === undefined || group.group.readings.length < LEAST_READINGS) return [];
  const singles = universe.faults
    .flatMap(({ id }): Single[] => {
      const short = copper.shortOf(k, id);
      if (short === undefined) return [];
      const chance = universe.before[id] as number;
      return [{ id, short, chance, log: group.log([short]) + Math.log(chance) }];
    })
    .sort((x, y) => y.log - x.log);
  const [best] = singles;
  const tried: { one: Single; other: Single; log: number }[] = [];
  for (const one of singles.slice(0, MOST_FIRST)) {
    const screen = group.screenFor(one.short);
    if (screen === undefined) continue;
    for (const other of singles) {
      const before = Math.log(other.chance);
      if (other === one || screen.most + before <= LEAST_GAIN) continue;
      const gain = screen.gain(other.short) + before;
      if (gain > LEAST_GAIN) tried.push({ one, other, log: one.log + gain });
    }
  }
  const seen = new Set<string>();
  const pairs = pairsWithDeparted(group, singles);
  for (const { one, other } of tried.sort((x, y) => y.log - x.log)) {
    const key = [one.id, other.id].sort((x, y) => x - y).join(' ');
    if (seen.has(key)) continue;
    if (seen.size >= MOST_WEIGHED) break;
    seen.add(key);
    const log = group.log([one.short, other.short]);
    if (log + Math.log(one.chance * other.chance) < (best?.log ?? 0) - LEAST_LOG) continue;
    const second = Math.log(Math.min(one.chance, other.chance));
    pairs.push({ faults: [one.id, other.id], log: log + second });
  }
  return pairs;
}

/**
 * What was in circuit for some of the readings and is not now, with anything that still is: whatever came
 * out while the rail stayed joined, another is left.
 */
function pairsWithDeparted(group: GroupFit, singles: readonly Single[]): ShortPair[] {
  const { readings } = group.group;
  const now = (readings.at(-1) as CopperReading).state;
  const departed = singles
    .filter(({ short }) => !short.actsIn(now) && readings.some(({ state }) => short.actsIn(state)))
    .map((one) => {
      const own = readings.filter(({ state }) => one.short.actsIn(state));
      return { ...one, score: group.before(one.short, own) + Math.log(one.chance) };
    })
    .sort((x, y) => y.score - x.score)
    .slice(0, MOST_DEPARTED);
  const found = departed.flatMap((one) =>
    singles.flatMap((other): (ShortPair & { readonly whole: number })[] => {
      if (!other.short.actsIn(now)) return [];
      const log = group.log([one.short, other.short]);
      const second = Math.log(Math.min(one.chance, other.chance));
      const whole = log + Math.log(one.chance * other.chance);
      return [{ faults: [one.id, other.id], log: log + second, whole }];
    }),
  );
  const best = Math.max(singles[0]?.log ?? 0, ...found.map(({ whole }) => whole));
  return found.filter(({ whole }) => whole >= best - LEAST_LOG);
}

/** So many of what came out are taken for a short that was there beside another. */
const MOST_DEPARTED = 3;

interface Single {
  readonly id: number;
  readonly short: Short;
  readonly chance: number;
  readonly log: number;
}

/** A second short that lifts the fit by less, its chance counted, is not worth weighing; ln. */
const LEAST_GAIN = -5;
/** Pairs lighter than the best single by more than this, ln, are not worth deciding. */
const LEAST_LOG = 9;
