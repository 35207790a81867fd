import { changeLines, viewChange } from '../../report/change.ts';
import { viewNext, warningLines } from '../../report/standing.ts';
import { worthWarningLines } from '../../report/worth.ts';
import { labelled } from '../../report/wrap.ts';
import { type Context, type Run, styleFor } from '../context.ts';
import { EXIT } from '../exit.ts';
import { readText } from '../files.ts';
import { handInSignedOff } from '../hand-in.ts';
import { openJobWork } from '../jobs.ts';
import { cautionOnReturn, warnOf } from '../opening.ts';
import { boardOption } from '../options.ts';
import { say } from '../print.ts';
import { standingOf, unmeasuredAt } from '../standing.ts';
import { studyAloud, studyAtLength } from '../study.ts';
import type { Work } from '../work.ts';
import { worthIfKnown } from '../worth-warning.ts';

/** Records lines of the notation and says what they changed. */
export const run: Run = async (context, { words, options }) => {
  const [path = '', ...says] = words;
  const lines = await linesOf(context, says);
  const { work, read } = await openJobWork(context, path, boardOption(options));
  try {
    warnOf(context, read);
    await cautionOnReturn(context, read);
    const { board, derived } = work;
    const recorded = work.record(lines); // first of all: what follows may take a while
    // What was known before is of the board as it was known; places alone change none of its numbers.
    const isAsKnown = work.derived.growths === derived.growths;
    const then = isAsKnown ? work.board : board;
    const before = await studyAtLength(context, then, derived.evidence);
    const after = await studyAloud(context, work.board, work.derived.evidence);
    const change = viewChange(recorded, before.diagnosis, after.diagnosis);
    const worth = await worthIfKnown(
      context,
      { ...read, board: work.board, derived: work.derived },
      after,
    );
    const standing = standingOf(work, after);
    const next = viewNext(standing, after.advice().view);
    const unmeasured = await warnUnmeasured(context, work, recorded.length);
    const doubts = await warnInjecting(context, work, recorded.length);
    if (derived.signOff === undefined) await handInSignedOff(context, work);
    const contradictory = after.diagnosis.contradictory;
    return {
      exit: contradictory ? EXIT.contradiction : EXIT.ok,
      document: {
        job: path,
        ...change,
        next,
        warnings: standing.warnings,
        unmeasured,
        ...(standing.injection === undefined ? {} : { injection: standing.injection }),
        ...(doubts === undefined ? {} : { injectionDoubts: doubts }),
        ...(worth === undefined ? {} : { worth }),
      },
      text: (style) => [
        ...changeLines(change, style),
        ...(worth === undefined ? [] : worthWarningLines(worth, style)),
        ...warningLines(standing, style),
        ...labelled('Next', next.text, 7, style.width),
        `Then: trace-short next ${path}`,
      ],
    };
  } finally {
    work.close();
  }
};

/**
 * Asks, on stderr, for the voltages that should have been measured before the readings just recorded.
 * @returns the lines that record them, without their values
 */
async function warnUnmeasured(context: Context, work: Work, count: number): Promise<string[]> {
  const { board, derived } = work;
  const charges = unmeasuredAt(board, derived, count);
  if (charges.length === 0) return [];
  const { unmeasuredLines, residualLine } = await import('../../report/unmeasured.ts');
  const style = await styleFor(context, context.stderr);
  say(context, unmeasuredLines(board, charges, style));
  return charges.map((charge) => residualLine(board, charge));
}

/**
 * Prints, on stderr, what to mind of a current just begun, and of volts that are too high for one.
 * @returns what is amiss; undefined when there was neither
 */
async function warnInjecting(
  context: Context,
  { board, derived }: Work,
  count: number,
): Promise<readonly string[] | undefined> {
  if (derived.evidence.lastInjection === undefined) return undefined;
  const { injectionNews } = await import('../injection.ts');
  const news = injectionNews(board, derived, count);
  if (news === undefined) return undefined;
  say(context, news.lines(await styleFor(context, context.stderr)));
  return news.doubts;
}

/**
 * The lines to record: `-` reads them from standard input, words that hold a blank are a line
 * each, and bare words together make one line.
 */
async function linesOf(context: Context, says: readonly string[]): Promise<string[]> {
  if (says.length === 1 && says[0] === '-') {
    const text = await readText('-', context);
    return text.split(/\r?\n/).map(withoutComment).filter(Boolean);
  }
  const quoted = says.some((say) => /\s/.test(say.trim()));
  return quoted ? says.map((say) => say.trim()) : [says.join(' ')];
}

function withoutComment(line: string): string {
  return line.trim().startsWith('#') ? '' : line.trim();
}
