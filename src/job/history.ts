/** What stands of a record once its `undo` and `redo` lines have had their say. */
import type { JobEvent } from './event-line.ts';
import { scanSay } from './scan.ts';
import { lineOf } from './words.ts';

/** An event that was taken back, and the number of the `undo` that did it. */
export interface UndoneEvent {
  readonly event: JobEvent;
  readonly by: number;
}

/** Lines in the order they were said: the last may be taken back, and brought back until another is said. */
export class Standing<T> {
  readonly items: T[] = [];
  /** Taken back and may be brought back, the next one last. */
  readonly #redoable: T[] = [];

  add(item: T): void {
    this.items.push(item);
    this.#redoable.length = 0;
  }

  /** @returns what no longer stands, in the order it was said */
  takeBack(count: number): T[] {
    const taken = this.items.splice(Math.max(0, this.items.length - count));
    this.#redoable.push(...taken.toReversed());
    return taken;
  }

  /** @returns what stands again, in the order it was said */
  bringBack(count: number): T[] {
    const back = this.#redoable.splice(Math.max(0, this.#redoable.length - count)).reverse();
    this.items.push(...back);
    return back;
  }

  get redoable(): number {
    return this.#redoable.length;
  }
}

/** A line of the record that is about the lines before it. */
export interface Revision {
  readonly do: 'undo' | 'redo';
  readonly count: number;
}

/** What `undo 2` or `redo` says; undefined for any other line. */
export function revisionIn(text: string): Revision | undefined {
  if (!/^\s*(?:un|re)do\b/iu.test(text)) return undefined;
  try {
    const scanned = scanSay(lineOf(text));
    return scanned.do === 'undo' || scanned.do === 'redo' ? scanned : undefined;
  } catch {
    return undefined;
  }
}

/** Which events stand, which do not, and how many could be brought back. */
export function takeBack(events: readonly JobEvent[]): {
  readonly standing: readonly JobEvent[];
  readonly undone: readonly UndoneEvent[];
  readonly redoable: number;
} {
  const standing = new Standing<JobEvent>();
  const undone = new Map<JobEvent, UndoneEvent>();
  for (const event of events) {
    const revision = revisionIn(event.say);
    if (revision === undefined) {
      standing.add(event);
    } else if (revision.do === 'undo') {
      for (const gone of standing.takeBack(revision.count)) {
        undone.set(gone, { event: gone, by: event.n });
      }
    } else {
      for (const back of standing.bringBack(revision.count)) undone.delete(back);
    }
  }
  return { standing: standing.items, undone: [...undone.values()], redoable: standing.redoable };
}
