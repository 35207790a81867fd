import { adviceLines } from '../../report/advice.ts';
import { gateLines } from '../../report/gates.ts';
import { ledgerLine } from '../../report/ledger.ts';
import { stageLines, taskLines, viewNext, warningLines } from '../../report/standing.ts';
import type { TaskView } from '../../report/task-told.ts';
import { worthWarningLines } from '../../report/worth.ts';
import { wrap } from '../../report/wrap.ts';
import type { Run } from '../context.ts';
import { gatesOf } from '../engine.ts';
import { EXIT } from '../exit.ts';
import { readJob } from '../jobs.ts';
import { cautionOnReturn, warnOf } from '../opening.ts';
import { boardOption } from '../options.ts';
import { plannedLines } from '../planned-stage.ts';
import { standingOf } from '../standing.ts';
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
  const { purpose } = job.job.opening;
  const standing = standingOf({ board, derived, purpose }, known);
  const { task, stage, stages, warnings, injection } = standing;
  const ledger = ledgerLine(board, derived.evidence.state);
  const gates = gatesOf(board, derived);
  const worth = await worthIfKnown(context, job, known);
  const isRead = view.step.kind === 'done' && !isAfterPower(task);
  const next = viewNext(standing, view);
  const hasLists = task === undefined && BENCH_WORK.has(view.step.kind);
  return {
    exit: EXIT.ok,
    document: {
      job: path,
      board: board.name,
      purpose,
      cautions,
      stage,
      next,
      advice: view,
      ledger,
      gates,
      stages,
      warnings,
      ...(injection === undefined ? {} : { injection }),
      ...(worth === undefined ? {} : { worth }),
    },
    text: (style) => [
      ...(task === undefined
        ? adviceLines(view, style)
        : taskLines(
            task,
            style,
            path,
            task.kind === 'power' ? plannedLines(board, derived, style) : [],
          )),
      ...warningLines(standing, style),
      ...(isRead ? gateLines(gates, style) : []),
      ...(ledger === '' ? [] : wrap(ledger, style.width)),
      ...(hasLists ? wrap(`Pull and fit lists: trace-short repair ${path}`, style.width) : []),
      ...(worth === undefined ? [] : worthWarningLines(worth, style)),
      ...stageLines(standing, style),
    ],
  };
};

/** Once the board runs, what was read cold is no news. */
function isAfterPower(task: TaskView | undefined): boolean {
  return task !== undefined && ['soak start', 'soak', 'sign-off', 'signed off'].includes(task.kind);
}
