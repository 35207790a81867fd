import type { Diagnostic } from '../../board/diagnostic.ts';
import { renderDiagnostic } from '../../board/frame.ts';
import { overview } from '../../board/overview.ts';
import { overviewLines, viewOverview } from '../../report/overview.ts';
import { openBoard } from '../boards.ts';
import type { Run } from '../context.ts';
import { diagnosticDocuments } from '../diagnostics.ts';
import { EXIT } from '../exit.ts';

/** Checks a board file and sums it up. */
export const run: Run = async (context, { words }) => {
  const [path = ''] = words;
  const { board, warnings } = await openBoard(context, path);
  const all = [...warnings, ...overview(board).warnings];
  const view = viewOverview(board);
  return {
    exit: EXIT.ok,
    document: { file: path, ...view, warnings: diagnosticDocuments(all) },
    text: (style) => [...overviewLines(view, style), ...warningLines(all)],
  };
};

const MOST_WARNINGS = 30;

function warningLines(warnings: readonly Diagnostic[]): string[] {
  if (warnings.length === 0) return [];
  const shown = warnings
    .slice(0, MOST_WARNINGS)
    .flatMap((each) => renderDiagnostic(each).split('\n'));
  const rest = warnings.length - MOST_WARNINGS;
  return ['', ...shown, ...(rest > 0 ? [`and ${rest} more warnings`] : [])];
}
