import type { Arguments } from './context.ts';

/** The value of `--board`, when given. */
export function boardOption(options: Arguments['options']): string | undefined {
  return typeof options.board === 'string' ? options.board : undefined;
}
