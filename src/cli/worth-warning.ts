import type { WorthView } from '../report/worth.ts';
import type { Context } from './context.ts';
import type { ReadJob } from './jobs.ts';
import type { Study } from './study.ts';

/**
 * Whether a job is still worth it, for commands that end with a word on it; undefined where the
 * settings do not say what the board is worth, which then costs nothing.
 */
export async function worthIfKnown(
  context: Context,
  read: ReadJob,
  study: Study,
): Promise<WorthView | undefined> {
  if (!read.inForce.shop.boards.has(read.board.name)) return undefined;
  const { pricesIfRead } = await import('./prices.ts');
  if ((await pricesIfRead(context, read.inForce)) === undefined) return undefined;
  const { worthOfJob } = await import('./worth.ts');
  return await worthOfJob(context, read, study);
}
