import type { MeterMode } from '../../circuit/reading.ts';

/** What a meter shows at one moment; Ω or V as its mode has it. */
export type Sample =
  | { readonly kind: 'figure'; readonly number: number }
  | { readonly kind: 'over' };

/** How things stand with the meter, for the screen. */
export interface FeedStatus {
  /**
   * `lacks`: it has no such mode; `complains`: its readings do not count, the text says why;
   * `ended`: nothing more will come.
   */
  readonly state: 'connecting' | 'ready' | 'lost' | 'lacks' | 'complains' | 'ended';
  /** In words, harmless to print. */
  readonly text: string;
}

/** What happens at a meter. Times in ms of one steady clock. */
export type FeedEvent =
  | {
      readonly kind: 'sample';
      readonly at: number;
      /** The mode it was taken in. */
      readonly mode: MeterMode;
      readonly sample: Sample;
    }
  /** The samples since the last gap are answers to what was asked, and the meter found no fault with it. */
  | { readonly kind: 'vouch'; readonly at: number }
  /** What came before and what comes after need not hang together. */
  | { readonly kind: 'gap'; readonly at: number }
  | { readonly kind: 'status'; readonly status: FeedStatus };

/** A meter that answers by itself. */
export interface MeterFeed {
  /** Asks for readings in this mode from now on; undefined: none for now. */
  want(mode: MeterMode | undefined): void;
  /** Hears everything from now on; the call given back ends it. */
  listen(listener: (event: FeedEvent) => void): () => void;
  /** As last told. */
  readonly status: FeedStatus;
  /** Ends it for good. */
  close(): void;
}
