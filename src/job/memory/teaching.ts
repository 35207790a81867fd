import type { DerivedJob } from '../derive.ts';

/** From here on a part counts as found failed, where only yes and no are told apart. */
export const FOUND_FROM = 0.5;

/** How much a job teaches. */
export interface Teaching {
  /** 0–1: counts as this much of a job in which everything was read and shown. */
  readonly weight: number;
  readonly why: string;
}

/**
 * How much a job teaches: one that was proven teaches what failed and that nothing else did, one that was
 * not teaches only that what was found had failed. The weights are ours.
 * @param found parts and joints found failed
 */
export function teaching(
  { signOff, soak, powerStages, upsets }: DerivedJob,
  { isProven, found }: { readonly isProven: boolean; readonly found: number },
): Teaching {
  const last = Math.max(0, ...upsets.map(({ event }) => event));
  const ran = [
    ...soak.filter(({ what }) => what === 'passed'),
    ...powerStages.filter(({ result }) => result === 'passed'),
  ].some(({ event }) => event > last);
  if (signOff?.result === 'cleared') return { weight: 1, why: 'signed off cleared' };
  if (isProven && ran) return { weight: 0.9, why: 'read clear, and it ran' };
  if (isProven && found > 0) return { weight: 0.8, why: 'read clear after what was found' };
  if (found > 0) return { weight: 0.4, why: 'something was found, the rest was not read clear' };
  if (isProven) return { weight: 0.3, why: 'read clear, nothing was found' };
  return { weight: 0, why: 'nothing was found and nothing was proven' };
}
