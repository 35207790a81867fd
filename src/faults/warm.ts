import type { Part } from '../board/model.ts';
import { MOST_INJECTED_VOLTS } from '../circuit/injection-limits.ts';
import type { PartMode, PartModel } from '../circuit/part-model.ts';

/**
 * What it says of a part that it was found warm while a current was injected. A short warms by what
 * the current turns into heat in it, and so does a sound part that only carries the current: a fuse,
 * a winding, a shunt. Estimates of our own, to be replaced by a shop's counts.
 */

/** Chance that a part which nothing warms is called warm all the same: it lies beside the warm one. */
const MISTAKEN = 0.02;
/** Chance that a part which grows hot is found at all, and named rather than its neighbour. */
const MOST_FOUND = 0.6;
/** W at which half of those are found: 0.06 W warms a chip-sized part by about 10 K. */
const HALF_FOUND_WATTS = 0.06;
/** The same for bodies that take more heat to grow warm, and for those screwed to a heatsink. */
const LARGE_FACTOR = 3;
const HEATSINK_FACTOR = 10;
const LARGE_BODY = /TO-?(2\d\d|3)|DO-?201|radial|axial|box|snap|bolt|toroid|can\b/i;
const LARGE_KINDS: ReadonlySet<string> = new Set([
  'electrolytic',
  'film',
  'transformer',
  'connector',
  'relay',
]);
/** Chance that a sound part of little resistance lies on the way of the current. */
const IN_THE_WAY = 0.5;
/** Where nothing is known of the current, A. */
const USUAL_AMPS = 0.5;

/**
 * How much likelier each mode makes it that this part is found warm than if it were sound.
 * @param amps the injected current
 */
export function warmRatios(
  part: Body,
  model: PartModel,
  modes: readonly PartMode[],
  amps: number = USUAL_AMPS,
): number[] {
  const half = HALF_FOUND_WATTS * bodyFactor(part);
  const carried = Math.max(0, ...model.healthy.map(({ ohms }) => foundChance(ohms, 0, amps, half)));
  const sound = MISTAKEN + IN_THE_WAY * carried;
  return modes.map((mode) => {
    const joins = [...mode.joins, ...(mode.netJoins ?? [])];
    const heated = Math.max(
      0,
      ...joins.map(({ ohms }) => foundChance(ohms, mode.spread, amps, half)),
    );
    return Math.max(MISTAKEN + heated, mode.opens ? 0 : sound) / sound;
  });
}

/** What of a part decides how fast it grows warm. */
type Body = Pick<Part, 'kind' | 'package' | 'heatsink'>;

function bodyFactor({ kind, package: body = '', heatsink }: Body): number {
  if (heatsink !== undefined) return HEATSINK_FACTOR;
  return LARGE_KINDS.has(kind.name) || LARGE_BODY.test(body) ? LARGE_FACTOR : 1;
}

/** Points of the standard normal at which an unknown resistance is taken, each a fifth of the chance. */
const FIFTHS = [-1.28, -0.52, 0, 0.52, 1.28];

/** Chance of finding it by the heat of a resistance, whose ln Ω has a standard deviation. */
function foundChance(ohms: number, spread: number, amps: number, half: number): number {
  const found = FIFTHS.map((z) => {
    const watts = wattsIn(ohms * Math.exp(z * spread), amps);
    return (MOST_FOUND * watts * watts) / (watts * watts + half * half);
  });
  return found.reduce((sum, chance) => sum + chance, 0) / FIFTHS.length;
}

/** The supply holds the current until its voltage limit is reached. */
function wattsIn(ohms: number, amps: number): number {
  const carried = Math.min(amps, MOST_INJECTED_VOLTS / ohms);
  return carried * carried * ohms;
}
