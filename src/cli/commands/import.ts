import { InputError } from '../../board/diagnostic.ts';
import { type ImportSummary, importBoard } from '../../board/import/index.ts';
import { counted } from '../../report/words.ts';
import { wrap } from '../../report/wrap.ts';
import type { Run } from '../context.ts';
import { diagnosticDocuments, printDiagnostics } from '../diagnostics.ts';
import { EXIT } from '../exit.ts';
import { writeWhole } from '../files.ts';
import { includesBeside, openPieces } from '../netlist-files.ts';
import { saySentence } from '../print.ts';

/** Makes a board file from a netlist and, when there is one, a bill of materials. */
export const run: Run = async (context, { words, options }) => {
  const [path = ''] = words;
  const bomPath = typeof options.bom === 'string' ? options.bom : undefined;
  if (path === '-' && bomPath === '-') refuseTwice();
  const netlist = { text: await openPieces(context, path), file: path };
  const bom =
    bomPath === undefined
      ? {}
      : { bom: { text: await openPieces(context, bomPath), file: bomPath } };
  const open = path === '-' ? {} : { open: includesBeside(path) };
  const made = importBoard({ netlist, ...bom, ...open });
  printDiagnostics(context, made.warnings);
  const summary = summaryText(made.summary);
  const out = typeof options.out === 'string' ? options.out : undefined;
  const facts = { summary: made.summary, warnings: diagnosticDocuments(made.warnings) };
  if (out === undefined) {
    if (!context.json) await saySentence(context, summary);
    const yaml = made.yaml.replace(/\n$/, '');
    return { exit: EXIT.ok, document: { ...facts, yaml: made.yaml }, text: () => [yaml] };
  }
  writeWhole(out, made.yaml, options.overwrite === true);
  return {
    exit: EXIT.ok,
    document: { ...facts, out },
    text: (style) => [
      ...wrap(summary, style.width),
      `Wrote ${out}. Look it over: trace-short board ${out}`,
    ],
  };
};

function summaryText(summary: ImportSummary): string {
  const { parts, nets, rails, told, guessed, unknown, leftOut } = summary;
  return (
    `Imported ${counted(parts, 'part')} on ${counted(nets, 'net')}, ${counted(rails, 'rail')} proposed. ` +
    `Told by the files: ${told}; ` +
    `with a guess to confirm: ${guessed}; unknown: ${unknown}; left out: ${leftOut}.`
  );
}

function refuseTwice(): never {
  const message = 'standard input can be read only once, but "-" stands twice';
  throw new InputError([{ code: 'USAGE', severity: 'error', message }]);
}
