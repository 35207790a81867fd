import { addOuter } from './gauss.ts';
import type { CopperCase } from './weigh-case.ts';

/**
 * What readings would be in any one of several cases, taken as one Gaussian: what the cases differ by is
 * uncertainty that the readings share (law of total covariance).
 */
export function anyCase(cases: readonly CopperCase[]): CopperCase {
  const [first] = cases as [CopperCase];
  const n = first.share.length;
  const mean = (of: (one: CopperCase) => Float64Array): Float64Array => {
    const sum = new Float64Array(of(first).length);
    for (const one of cases) {
      const own = of(one);
      for (let k = 0; k < sum.length; k++) sum[k]! += (own[k] as number) / cases.length;
    }
    return sum;
  };
  const layouts = first.layouts.map((_, at) => mean(({ layouts }) => layouts[at] as Float64Array));
  const copper = mean(({ copper }) => copper);
  const whole = (of: readonly Float64Array[], k: number): number =>
    of.reduce((sum, layout) => sum + (layout[k] as number), 0);
  const off = new Float64Array(n);
  for (const one of cases) {
    for (let k = 0; k < n; k++) off[k] = whole(one.layouts, k) - whole(layouts, k);
    addOuter(copper, off, 1 / cases.length);
  }
  return {
    layouts,
    copper,
    linkOhms: mean(({ linkOhms }) => linkOhms),
    links: mean(({ links }) => links),
    share: mean(({ share }) => share),
  };
}
