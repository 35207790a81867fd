import { mirror, type SideReadings, type SideSums } from '../../circuit/copper/side-readings.ts';
import { addOuter } from './gauss.ts';
import type { Place } from './place.ts';
import type { CopperCase } from './weigh-case.ts';

/** Both sides in one way that the copper may go, as the readings see them. */
export type PlainWay = readonly [SideReadings, SideReadings];

/**
 * The same as `anyCase` of what readings would be in each way with one short at a place, where all
 * readings are four-wire: nothing is kept of a way but its share in the sums.
 * @returns undefined where no way leads from every reading to the short
 */
export function anyPlainCase(
  ways: readonly PlainWay[],
  place: Place,
  count: number,
): CopperCase | undefined {
  const there = ways.filter((way) => way.every((side, k) => side.reaches(place[k as 0 | 1])));
  const [first] = there;
  if (first === undefined) return undefined;
  const share = 1 / there.length;
  const own = first[0].layoutCount - 1;
  const row = (): Float64Array => new Float64Array(count);
  const sums: SideSums = {
    layouts: Array.from({ length: own + first[1].layoutCount - 1 }, row),
    linkOhms: row(),
    copper: new Float64Array(count ** 2),
    links: new Float64Array(count ** 2),
  };
  const whole = row();
  for (const [one, other] of there) {
    whole.fill(0);
    one.add(sums, place[0], share, 0, whole);
    other.add(sums, place[1], share, own, whole);
    if (there.length > 1) addOuter(sums.copper, whole, share);
  }
  if (there.length > 1) {
    whole.fill(0);
    for (const layout of sums.layouts) {
      for (let n = 0; n < count; n++) whole[n]! += layout[n] as number;
    }
    addOuter(sums.copper, whole, -1);
  }
  mirror(sums.copper, count);
  mirror(sums.links, count);
  return { ...sums, share: row().fill(1) };
}
