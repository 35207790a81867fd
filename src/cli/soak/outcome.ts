/** What comes of a soak command, at a terminal or not. */
import { printDuration } from '../../job/duration.ts';
import type { SoakView } from '../../report/soak.ts';
import { soakLines } from '../../report/soak-lines.ts';
import type { Style } from '../../report/style.ts';
import { wrap } from '../../report/wrap.ts';
import type { CommandResult, Context } from '../context.ts';
import { EXIT } from '../exit.ts';
import { openJobWork } from '../jobs.ts';

/** Records the start. */
export async function startSoak(
  context: Context,
  path: string,
  boardPath: string | undefined,
  seconds: number,
): Promise<void> {
  const { work } = await openJobWork(context, path, boardPath);
  try {
    work.record([`soak start ${printDuration(seconds)}`]);
  } finally {
    work.close();
  }
}

/** What the command says of a soak; 1 when it was stopped, lost, or something was out of range. */
export function resultOf(path: string, view: SoakView): CommandResult {
  const isBad = view.state === 'stopped' || view.state === 'void' || view.isAmiss;
  return {
    exit: isBad ? EXIT.found : EXIT.ok,
    document: { job: path, ...view },
    text: (style) => soakLines(view, path, style),
  };
}

export function refused(path: string, view: SoakView, blocked: readonly string[]): CommandResult {
  return {
    exit: EXIT.found,
    document: { job: path, ...view, blocked },
    text: (style) => blockedLines(path, blocked, style),
  };
}

const MOST_REASONS = 8;

function blockedLines(
  path: string,
  blocked: readonly string[],
  { width, palette }: Style,
): string[] {
  const shown = blocked.slice(0, MOST_REASONS).flatMap((text) => wrap(`- ${text}`, width));
  const more = blocked.length - MOST_REASONS;
  return [
    palette.bad('Not yet: no soak may begin now.'),
    ...shown,
    ...(more > 0 ? [`- and ${more} more`] : []),
    ...wrap(`See: trace-short power ${path}`, width),
  ];
}
