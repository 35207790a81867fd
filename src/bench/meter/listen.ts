import { type Ear, type EarSettings, FRESH_EAR, hear } from './ear.ts';
import type { MeterFeed } from './feed.ts';

/** How a reading is listened for beside the feed itself. */
export interface Listening {
  readonly settings: EarSettings;
  /** What was heard of the same reading before; default: nothing. */
  readonly from?: Ear;
  /** Called when anything changed that a person may want to see. */
  readonly tell: (ear: Ear) => void;
  /** True while nobody can be on the probes: what is heard then counts for nothing. */
  readonly isAway?: () => boolean;
}

/**
 * Listens for one reading, until it is taken or the call given back ends it.
 * @returns ends it; the meter then reads no more until something else is listened for
 */
export function listenFor(
  feed: MeterFeed,
  { settings, from = FRESH_EAR, tell, isAway }: Listening,
): () => void {
  let ear = from;
  feed.want(settings.mode);
  const stop = feed.listen((event) => {
    if (event.kind !== 'status') {
      const heard = isAway?.() === true ? ({ kind: 'gap', at: event.at } as const) : event;
      ear = hear(ear, heard, settings);
    }
    if (ear.phase === 'taken') stop();
    tell(ear);
  });
  return () => {
    stop();
    feed.want(undefined);
  };
}
