export interface CopperOptions {
  readonly scenario: string;
  readonly size: number;
  readonly seed: number;
  readonly placement: 'real' | 'random';
  readonly told?: boolean;
  readonly slipRatio?: number;
}
/** What the tool says of the copper's suspects after so many readings. */
export interface Said {
  readonly after: number;
  /** Place of each part that is short among the suspects, from 1. */
  readonly places: readonly number[];
  /** Of the first suspects, heaviest first. */
  readonly weights: readonly number[];
  readonly parts: readonly number[];
  /** No further reading was wanted. */
  readonly stopped?: boolean;
}
export function standing(
  options: CopperOptions & {
    readonly chooser: 'tool' | 'spread' | 'random';
    /** Default: 4, 8, 12 and 16. */
    readonly counts?: readonly number[];
  },
): { readonly said: readonly Said[]; readonly copper: number };
export function wholeJob(options: CopperOptions & { readonly rule: string }): {
  readonly clear: boolean;
  readonly minutes: number;
  readonly copper: number;
  readonly missed: number;
  readonly healthyPulled: number;
};
