/** `inject P3V3 GND 0.5 A` and `inject off`, before any name is looked up on a board. */
import { AMPS, miss, type Said, scanAmount } from '../scan-amount.ts';
import { type Line, refuse, type Word } from '../words.ts';

export type ScannedInjection =
  | { readonly do: 'inject'; readonly red: Word; readonly black: Word; readonly amps: number }
  | { readonly do: 'inject-off' };

const EXAMPLE = 'inject P48 GND 0.5 A, and inject off when it is done';

/** More than anybody sends through a cold board to find a short, A: milliamps were meant. */
const MOST_SAID_AMPS = 10;

/**
 * Takes a line that starts with `inject` apart.
 * @throws {InputError} when it is not whole
 */
export function scanInjection(line: Line, verb: Word, words: readonly Word[]): ScannedInjection {
  const said: Said = { line, verb, words };
  const [red, black] = words;
  if (red?.text.toLowerCase() === 'off') {
    if (black === undefined) return { do: 'inject-off' };
    const message = '"inject off" stands alone: it ends whatever is injected';
    refuse(line, words.slice(1), { code: 'EXTRA_WORDS', message, hint: 'write inject off' });
  }
  if (red === undefined || black === undefined) {
    const message = 'an injection needs the two points the supply is clipped to, and the amps';
    return miss(said, 'NOT_WHOLE', message, `e.g. ${EXAMPLE}`);
  }
  const amps = scanAmount(said, 2, AMPS, EXAMPLE);
  if (amps > 0 && amps <= MOST_SAID_AMPS) return { do: 'inject', red, black, amps };
  const message =
    amps > 0
      ? `${amps} A is far more than a cold board is given`
      : 'an injected current is above zero: plus is the first point';
  refuse(line, words.slice(2), { code: 'BAD_VALUE', message, hint: `e.g. ${EXAMPLE}` });
}
