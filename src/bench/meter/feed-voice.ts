import type { FeedEvent, FeedStatus } from './feed.ts';

/** Tells every listener of a feed, and keeps what its status was last. */
export class FeedVoice {
  status: FeedStatus;
  readonly #listeners = new Set<(event: FeedEvent) => void>();

  constructor(status: FeedStatus) {
    this.status = status;
  }

  listen(listener: (event: FeedEvent) => void): () => void {
    this.#listeners.add(listener);
    return () => {
      this.#listeners.delete(listener);
    };
  }

  tell(event: FeedEvent): void {
    if (event.kind === 'status') this.status = event.status;
    for (const listener of [...this.#listeners]) listener(event);
  }

  /** Tells a status only when it is news. */
  say(state: FeedStatus['state'], text: string): void {
    if (this.status.state === state && this.status.text === text) return;
    this.tell({ kind: 'status', status: { state, text } });
  }
}
