import type { SoakView } from '../../report/soak.ts';
import { barLine, dueLines, noteLines, observedLines } from '../../report/soak-lines.ts';
import type { Style } from '../../report/style.ts';
import { wrap } from '../../report/wrap.ts';
import { headLine, layOut } from '../guided/screen.ts';

const KEYS =
  'A figure answers the question, Enter passes it over. Or: Q3 71 C, finding …, stop …, passed. x: leave, it goes on.';

/** The soak on a screen of so many rows; the clock and what is due stay longest. */
export function soakScreen(
  view: SoakView,
  news: readonly string[],
  style: Style,
  rows: number,
): string[] {
  const { width, palette } = style;
  const started = view.startedAt === undefined ? '' : `since ${clockTime(view.startedAt)}`;
  return layOut(
    [
      { rank: 2, lines: [headLine(`Soak of ${view.board}`, started, style)] },
      { rank: 0, lines: [palette.strong(barLine(view, width)), ...dueLines(view, style)] },
      { rank: 5, lines: observedLines(view, style) },
      { rank: 4, lines: noteLines(view, style) },
      { rank: 1, lines: news },
      { rank: 3, lines: wrap(KEYS, width).map(palette.quiet) },
    ],
    rows,
  );
}

/** The time of day where the bench is, `14:02`. */
function clockTime(at: string): string {
  const time = new Date(at);
  return [time.getHours(), time.getMinutes()].map((n) => String(n).padStart(2, '0')).join(':');
}
