import type { Context } from './context.ts';

/** What the guided run lets a person hear who looks at the board. */
export type Sound = 'recorded' | 'attention' | 'contradiction' | 'clear';

/**
 * When the terminal's bell rings, ms from the start: a bell is all a terminal has, so sounds differ by
 * number and rhythm. One: recorded. Two: a look at the screen. Three, quick: the readings contradict
 * each other. Two and two: clear.
 */
export const RHYTHMS: Readonly<Record<Sound, readonly number[]>> = {
  recorded: [0],
  attention: [0, 350],
  contradiction: [0, 200, 400],
  clear: [0, 200, 800, 1000],
};

/** Between two sounds, ms, so that they are not heard as one. */
const REST_MS = 600;

const BELL = '\u0007';

/** Rings the bell of a terminal without ever waiting for it. */
export interface Sounder {
  play(sound: Sound): void;
  /** No bell rings after this. */
  stop(): void;
}

const SILENCE: Sounder = { play: () => undefined, stop: () => undefined };

/** Silent where the person or the shop wants none, and where no terminal would ring. */
export function sounderFor(
  { stderr, isSilent }: Pick<Context, 'stderr' | 'isSilent'>,
  shop: { readonly sound: boolean },
): Sounder {
  if (isSilent === true || !shop.sound || stderr.isTTY !== true) return SILENCE;
  return ringing(() => stderr.write(BELL));
}

/** Plays sounds one after the other. */
export function ringing(ring: () => void): Sounder {
  const timers = new Set<NodeJS.Timeout>();
  let freeAt = 0;
  const ringIn = (ms: number): void => {
    const timer = setTimeout(() => {
      timers.delete(timer);
      ring();
    }, ms);
    // A bell that is still to come keeps no program alive.
    timer.unref();
    timers.add(timer);
  };
  return {
    play(sound) {
      const now = performance.now();
      const wait = Math.max(0, freeAt - now);
      for (const ms of RHYTHMS[sound]) {
        if (wait + ms === 0) ring();
        else ringIn(wait + ms);
      }
      freeAt = now + wait + (RHYTHMS[sound].at(-1) ?? 0) + REST_MS;
    },
    stop() {
      for (const timer of timers) clearTimeout(timer);
      timers.clear();
    },
  };
}
