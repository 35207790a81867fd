import type { BoardState } from '../../circuit/state.ts';
import type { Place } from './place.ts';

/** Something that joins both sides: where it may be, and of how many ohms. */
export interface Short {
  /** Equal for shorts of the same places and ohms. */
  readonly key: string;
  readonly places: readonly Place[];
  /** Ω. */
  readonly median: number;
  /** Standard deviation of ln Ω. */
  readonly spread: number;
  /** Whether it is in circuit under a state of the board. */
  actsIn(state: BoardState): boolean;
}
