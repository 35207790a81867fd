import { type Diagnostic, InputError } from '../../board/diagnostic.ts';
import { renderDiagnostic } from '../../board/frame.ts';
import type { Board } from '../../board/model.ts';
import { overview } from '../../board/overview.ts';
import { overviewLines, viewOverview } from '../../report/overview.ts';
import { openBoard } from '../boards.ts';
import type { CommandResult, Context, Run } from '../context.ts';
import { diagnosticDocuments } from '../diagnostics.ts';
import { EXIT } from '../exit.ts';
import { caution } from '../opening.ts';

/** Checks a board file and sums it up. */
export const run: Run = async (context, { words, options }) => {
  const [path = ''] = words;
  if (typeof options.with === 'string') {
    const { boardWithJob } = await import('../board-with-job.ts');
    return await boardWithJob(context, path, options.with, options.write === true);
  }
  if (options.write === true) throw new InputError([writesNothing]);
  const { board, warnings } = await openBoard(context, path);
  if (typeof options.graph === 'string') {
    const { boardGraph } = await import('../board-graph.ts');
    return boardGraph(board, options.graph, options);
  }
  if (options.near !== undefined || options.out !== undefined) throw new InputError([drawsNothing]);
  if (typeof options.inject === 'string') return await injection(context, board, options.inject);
  const all = [...warnings, ...overview(board).warnings];
  const view = viewOverview(board);
  return {
    exit: EXIT.ok,
    document: { file: path, ...view, warnings: diagnosticDocuments(all) },
    text: (style) => [...overviewLines(view, style), ...warningLines(all)],
  };
};

/** How a current is sent into one of its rails, with the cautions of the board. */
async function injection(context: Context, board: Board, rail: string): Promise<CommandResult> {
  const { railInjection } = await import('../injection.ts');
  const { injectionLines } = await import('../../report/injection.ts');
  const view = railInjection(board, rail);
  const cautions = await caution(context, board, 'full');
  return {
    exit: EXIT.ok,
    name: 'injection',
    document: { board: board.name, cautions, ...view },
    text: (style) => injectionLines(view, style),
  };
}

const drawsNothing: Diagnostic = {
  code: 'USAGE',
  severity: 'error',
  message: '--near and --out are about a drawing, and none was asked for',
  hint: 'add --graph svg',
};

const writesNothing: Diagnostic = {
  code: 'USAGE',
  severity: 'error',
  message: '--write writes what a job saw of its board, and no job was named',
  hint: 'add --with JOB',
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
