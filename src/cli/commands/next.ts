import { adviceLines } from '../../report/advice.ts';
import { gateLines } from '../../report/gates.ts';
import { ledgerLine } from '../../report/ledger.ts';
import { worthWarningLines } from '../../report/worth.ts';
import { wrap } from '../../report/wrap.ts';
import type { Run } from '../context.ts';
import { gatesOf } from '../engine.ts';
import { EXIT } from '../exit.ts';
import { readJob } from '../jobs.ts';
import { cautionOnReturn, warnOf } from '../opening.ts';
import { boardOption } from '../options.ts';
import { studyAloud } from '../study.ts';
import { worthIfKnown } from '../worth-warning.ts';

/** Steps that the repair list has more to say of. */
const BENCH_WORK: ReadonlySet<string> = new Set(['remove', 'replace']);

/** The next step of a job, why, and what each answer would mean. */
export const run: Run = async (context, { words, options }) => {
  const [path = ''] = words;
  const job = await readJob(context, path, boardOption(options));
  warnOf(context, job);
  const { board, derived } = job;
  const cautions = await cautionOnReturn(context, job);
  const known = await studyAloud(context, board, derived.evidence);
  const { view } = known.advice();
  const ledger = ledgerLine(board, derived.evidence.state);
  const gates = gatesOf(board, derived);
  const worth = await worthIfKnown(context, job, known);
  const isDone = view.step.kind === 'done';
  const hasLists = BENCH_WORK.has(view.step.kind);
  return {
    exit: EXIT.ok,
    document: {
      job: path,
      board: board.name,
      cautions,
      advice: view,
      ledger,
      gates,
      ...(worth === undefined ? {} : { worth }),
    },
    text: (style) => [
      ...adviceLines(view, style),
      ...(isDone ? gateLines(gates, style) : []),
      ...(ledger === '' ? [] : wrap(ledger, style.width)),
      ...(hasLists ? wrap(`Pull and fit lists: trace-short repair ${path}`, style.width) : []),
      ...(worth === undefined ? [] : worthWarningLines(worth, style)),
    ],
  };
};
