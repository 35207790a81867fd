import type { Board } from '../../board/model.ts';
import { type CompareOptions, compareReadings } from '../../job/compare.ts';
import { isReference } from '../../job/reference.ts';
import { comparisonLines, viewComparison } from '../../report/comparison.ts';
import { isHealthyBeep } from '../../steps/advise.ts';
import { openBoard } from '../boards.ts';
import type { Run } from '../context.ts';
import { workbenchFor } from '../engine.ts';
import { EXIT } from '../exit.ts';
import { boardOption } from '../options.ts';
import { openReadings } from '../readings.ts';

/** Compares readings taken before and after a swap, or of a good board and a bad one. */
export const run: Run = async (context, { words, options }) => {
  const [before = '', after = ''] = words;
  const path = boardOption(options);
  const board = path === undefined ? undefined : (await openBoard(context, path)).board;
  const old = await openReadings(context, before, board);
  const isOfGood = isReference(old.text);
  const fresh = await openReadings(context, after, board);
  const compared = compareReadings(old.readings, fresh.readings, {
    ...optionsFor(board),
    isOfGood,
  });
  const view = viewComparison(compared);
  const exit = compared.differs ? EXIT.found : EXIT.ok;
  return {
    exit: compared.contradictory.length > 0 ? EXIT.contradiction : exit,
    document: { before, after, ...(isOfGood ? { ofGoodBoard: true } : {}), ...view },
    text: (style) => comparisonLines(view, style),
  };
};

/** With a board it is known where a healthy one beeps: a winding, a sense resistor. */
function optionsFor(board: Board | undefined): CompareOptions {
  if (board === undefined) return {};
  return { expectedBeep: (probe) => isHealthyBeep(workbenchFor(board), probe) };
}
