import { type Diagnostic, InputError } from '../board/diagnostic.ts';
import type { Board } from '../board/model.ts';
import { nearest } from '../board/nearest.ts';
import { seedNamed } from '../report/graph/near.ts';
import { graphSvg } from '../report/graph/svg.ts';
import { viewGraph } from '../report/graph/view.ts';
import type { Arguments, CommandResult } from './context.ts';
import { EXIT } from './exit.ts';
import { writeWhole } from './files.ts';

/** Draws a board as a graph: printed, or written to a file. */
export function boardGraph(
  board: Board,
  form: string,
  options: Arguments['options'],
): CommandResult {
  if (form !== 'svg') throw new InputError([unknownForm(form)]);
  const { near, out } = options;
  const view = viewGraph(board, typeof near === 'string' ? seedNamed(board, near) : undefined);
  const svg = graphSvg(view);
  const result = { exit: EXIT.ok, name: 'board-graph' };
  if (typeof out !== 'string' || out === '-') {
    const lines = svg.replace(/\n$/, '').split('\n');
    return { ...result, document: { ...view, svg }, text: () => lines };
  }
  writeWhole(out, svg, options.overwrite === true);
  return { ...result, document: { ...view, out }, text: () => [`Wrote ${out}.`] };
}

function unknownForm(form: string): Diagnostic {
  const near = nearest(form, ['svg']);
  return {
    code: 'UNKNOWN_FORM',
    severity: 'error',
    message: `no drawing is made in the form "${form}"`,
    hint: near === undefined ? 'the form is svg' : `did you mean "${near}"?`,
  };
}
