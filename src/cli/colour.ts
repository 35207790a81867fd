import { Chalk } from 'chalk';
import type { Palette } from '../report/style.ts';

/**
 * Hues of the 256-colour table that keep a contrast of about 4 to 1 and more both on black and on white:
 * nobody has to say which of the two a terminal is. On white the usual green and yellow do not.
 */
export const HUES = { good: 28, bad: 196, warn: 130 } as const;

/** Colours for a terminal; with sixteen only, red and magenta, which can be read on dark and on light. */
export function colourPalette(env: NodeJS.ProcessEnv): Palette {
  const hasMany = /256|direct/.test(env.TERM ?? '') || env.COLORTERM !== undefined;
  const chalk = new Chalk({ level: hasMany ? 2 : 1 });
  const plain = {
    strong: (text: string) => chalk.bold(text),
    quiet: (text: string) => chalk.dim(text),
  };
  if (!hasMany) {
    const { strong } = plain;
    return {
      ...plain,
      good: strong,
      bad: (text) => chalk.red(text),
      warn: (text) => chalk.magenta(text),
    };
  }
  const hue = (code: number) => (text: string) => chalk.ansi256(code)(text);
  return { ...plain, good: hue(HUES.good), bad: hue(HUES.bad), warn: hue(HUES.warn) };
}
