import { Chalk } from 'chalk';
import type { Palette } from '../report/style.ts';

/** The sixteen colours every terminal has, so that the person's own scheme decides the shades. */
export function colourPalette(): Palette {
  const chalk = new Chalk({ level: 1 });
  return {
    strong: (text) => chalk.bold(text),
    quiet: (text) => chalk.dim(text),
    good: (text) => chalk.green(text),
    bad: (text) => chalk.red(text),
    warn: (text) => chalk.yellow(text),
  };
}
