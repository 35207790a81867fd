import type { Style } from '../../report/style.ts';
import { type Context, isPlain } from '../context.ts';

/** One block of the screen; a lower rank is kept longer when rows are short. */
export interface Block {
  readonly rank: number;
  readonly lines: readonly string[];
}

/**
 * Lays blocks out from the top, in the order given, into at most `rows` rows. Blocks that do not
 * fit are dropped, the highest rank first; a blank line parts blocks while rows allow.
 */
export function layOut(blocks: readonly Block[], rows: number): string[] {
  const filled = blocks.filter(({ lines }) => lines.length > 0);
  const kept = keepWhatFits(filled, rows);
  const body = kept.reduce((sum, { lines }) => sum + lines.length, 0);
  const airy = body + kept.length - 1 <= rows;
  return kept
    .flatMap(({ lines }, index) => (airy && index > 0 ? ['', ...lines] : [...lines]))
    .slice(0, rows);
}

/** A title at the left, a note at the right; the note is dropped when they do not fit. */
export function headLine(title: string, note: string, style: Style): string {
  const gap = style.width - title.length - note.length;
  const line = gap >= 2 ? title + ' '.repeat(gap) + note : title.slice(0, style.width);
  return style.palette.quiet(line);
}

/** Empties the screen of a terminal that can; leaves what was printed before to scroll back to. */
export function clearScreen(context: Context): void {
  const { stderr } = context;
  if (!stderr.isTTY || isPlain(context)) return;
  stderr.write('\u001b[H\u001b[2J');
}

function keepWhatFits(blocks: readonly Block[], rows: number): Block[] {
  let kept = [...blocks];
  while (kept.length > 1 && kept.reduce((sum, { lines }) => sum + lines.length, 0) > rows) {
    const worst = kept.reduce((a, b) => (b.rank >= a.rank ? b : a));
    kept = kept.filter((block) => block !== worst);
  }
  return kept;
}
