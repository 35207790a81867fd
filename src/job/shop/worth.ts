/** Whether a board is worth going on with: what it has cost, and what it will most likely cost still. */
import type { Part } from '../../board/model.ts';
import type { TimeSpent } from '../time-spent.ts';
import type { PartPrice, PriceBook } from './prices.ts';
import type { Shop } from './shop.ts';
import { NOTHING, type Spread, shifted, spreadOf } from './spread.ts';

/** One way the rest of the cold work may go. */
export interface WayAhead {
  /** On any scale. */
  readonly weight: number;
  readonly minutes: number;
  /** Parts it would take, each with how many of it on average. */
  readonly parts: readonly { readonly part: Part; readonly count: number }[];
}

/** What the figures follow from. */
export interface WorthFacts {
  readonly board: string;
  readonly spent: TimeSpent;
  /** Every piece fitted new, a part twice where it was renewed twice. */
  readonly used: readonly Part[];
  readonly ahead: readonly WayAhead[];
  /** Minutes of attendance in the stages that are still to come. */
  readonly stages: readonly { readonly stage: string; readonly minutes: number }[];
  /** No step is known that would go on: how long it takes is anybody's guess. */
  readonly isStuck: boolean;
}

/** A part with its price, where there is one. */
export interface PricedPart {
  readonly part: Part;
  /** Pieces; on average, where it is not known. */
  readonly count: number;
  readonly price?: PartPrice;
}

/** `within`: the board is worth it so far. The others: its share of the value is passed, or will be. */
export type Verdict = 'within' | 'may pass' | 'heading beyond' | 'beyond';

/** Sums of money are undefined where nothing is known that they could be made of. */
export interface Worth {
  readonly minutes: {
    readonly spent: number;
    /** Cold work and stages together. */
    readonly left: Spread;
    readonly cold: Spread;
    readonly stages: WorthFacts['stages'];
  };
  readonly parts: {
    readonly used: readonly PricedPart[];
    readonly usedCost: number;
    /** Likeliest first. */
    readonly ahead: readonly PricedPart[];
    readonly aheadCost: Spread;
  };
  /** Minutes at the shop's rate and parts with a price; undefined without a rate and without prices. */
  readonly spent?: number;
  readonly left?: Spread;
  readonly whole?: Spread;
  /** What the sums leave out: no hourly rate, parts without a price. */
  readonly leavesOut: { readonly rate: boolean; readonly parts: boolean };
  /** What the board is worth repaired, and what of it the job may cost. */
  readonly value?: number;
  readonly limit?: number;
  readonly verdict?: Verdict;
  readonly isStuck: boolean;
}

/** Parts that are less likely to be needed are counted in the sums, not named. */
const LEAST_NAMED = 0.005;

/** Works out the figures; a price that is not known counts as not known, never as nothing. */
export function worthOf(shop: Shop, prices: PriceBook, facts: WorthFacts): Worth {
  const priced = ({ part, count }: { part: Part; count: number }): PricedPart => {
    const price = prices.priceOf(part);
    return price === undefined ? { part, count } : { part, count, price };
  };
  const used = countedParts(facts.used).map(priced);
  const ahead = expectedParts(facts.ahead).map(priced);
  const attended = facts.stages.reduce((sum, { minutes }) => sum + minutes, 0);
  const cold = spreadOf(facts.ahead.map(({ weight, minutes }) => ({ weight, figure: minutes })));
  const minutes = {
    spent: facts.spent.minutes,
    left: shifted(cold, attended),
    cold,
    stages: facts.stages,
  };
  const parts = {
    used,
    usedCost: used.reduce((sum, part) => sum + costOf(part), 0),
    ahead: ahead.filter(({ count }) => count >= LEAST_NAMED),
    aheadCost: costSpread(facts.ahead, prices, () => 0),
  };
  const leavesOut = {
    rate: shop.hourlyRate === undefined,
    parts: [...used, ...parts.ahead].some(({ price }) => price === undefined),
  };
  const base = { minutes, parts, leavesOut, isStuck: facts.isStuck };
  return { ...base, ...moneyOf(shop, prices, facts, base) };
}

function moneyOf(
  shop: Shop,
  prices: PriceBook,
  facts: WorthFacts,
  { minutes, parts, leavesOut }: Pick<Worth, 'minutes' | 'parts' | 'leavesOut'>,
): Partial<Worth> {
  const value = shop.boards.get(facts.board)?.value;
  const limit = value === undefined ? undefined : value * shop.thresholds.worthUpTo;
  const known = value === undefined ? {} : { value, limit: limit as number };
  const arePriced = [...parts.used, ...parts.ahead].some(({ price }) => price !== undefined);
  if (leavesOut.rate && !arePriced) return known;
  const perMinute = (shop.hourlyRate ?? 0) / 60;
  const attended = minutes.left.expected - minutes.cold.expected;
  const spent = minutes.spent * perMinute + parts.usedCost;
  // Minutes and parts of one way belong together: their spreads do not simply add up.
  const ahead = costSpread(facts.ahead, prices, (way) => way.minutes * perMinute);
  const left = shifted(ahead, attended * perMinute);
  const whole = shifted(left, spent);
  const verdict = limit === undefined ? {} : { verdict: verdictOf(spent, whole, limit, facts) };
  return { ...known, spent, left, whole, ...verdict };
}

function verdictOf(spent: number, whole: Spread, limit: number, { isStuck }: WorthFacts): Verdict {
  if (spent > limit) return 'beyond';
  if (whole.expected > limit) return 'heading beyond';
  return whole.high > limit || isStuck ? 'may pass' : 'within';
}

function costSpread(
  ways: readonly WayAhead[],
  prices: PriceBook,
  besides: (way: WayAhead) => number,
): Spread {
  if (ways.length === 0) return NOTHING;
  return spreadOf(
    ways.map((way) => {
      const cost = way.parts.reduce(
        (sum, { part, count }) => sum + count * (prices.priceOf(part)?.price ?? 0),
        0,
      );
      return { weight: way.weight, figure: cost + besides(way) };
    }),
  );
}

function costOf({ count, price }: PricedPart): number {
  return count * (price?.price ?? 0);
}

function countedParts(parts: readonly Part[]): { part: Part; count: number }[] {
  const counts = new Map<Part, number>();
  for (const part of parts) counts.set(part, (counts.get(part) ?? 0) + 1);
  return [...counts]
    .map(([part, count]) => ({ part, count }))
    .sort((x, y) => x.part.index - y.part.index);
}

function expectedParts(ways: readonly WayAhead[]): { part: Part; count: number }[] {
  const total = ways.reduce((sum, { weight }) => sum + weight, 0) || 1;
  const counts = new Map<Part, number>();
  for (const { weight, parts } of ways) {
    for (const { part, count } of parts) {
      counts.set(part, (counts.get(part) ?? 0) + (weight / total) * count);
    }
  }
  return [...counts]
    .map(([part, count]) => ({ part, count }))
    .sort((x, y) => y.count - x.count || x.part.index - y.part.index);
}
