/** Parts that the eye takes for each other, in one pull. */
import type { Board } from '../../board/model.ts';
import { identityOf, isIdentified } from './identity.ts';

/** Different things in the same package. */
export interface LookAlikes {
  readonly package: string;
  /** One group for each thing to order; two at least. */
  readonly groups: readonly (readonly number[])[];
}

/** Groups of parts in one package that are not the same thing; parts without a package are left out. */
export function lookAlikes(board: Board, parts: readonly number[]): LookAlikes[] {
  const byPackage = new Map<string, Map<string, number[]>>();
  for (const index of parts) {
    const part = board.parts[index];
    if (part?.package === undefined) continue;
    const pack = bodyOf(part.package);
    const things = byPackage.get(pack) ?? new Map<string, number[]>();
    // Parts whose value nobody gave may all differ; each stands by itself.
    const key = isIdentified(part) ? identityOf(part).key : `?${index}`;
    things.set(key, [...(things.get(key) ?? []), index]);
    byPackage.set(pack, things);
  }
  return [...byPackage]
    .filter(([, things]) => things.size > 1)
    .map(([pack, things]) => ({ package: pack, groups: [...things.values()] }));
}

/** The body alone: `R_0603_1608Metric` and `C_0603_1608Metric` are both `0603`. */
function bodyOf(text: string): string {
  const chip = /(?:^|_)(0201|0402|0603|0805|1206|1210|1812|2010|2512)(?:_|$)/.exec(text);
  return chip?.[1] ?? text.trim();
}
