import { ledgerText } from '../../job/ledger.ts';
import { printPin } from '../../job/points.ts';
import { viewCautions } from '../../report/cautions.ts';
import { diagnosticDocuments } from '../diagnostics.ts';
import { gatesOf, workbenchFor } from '../engine.ts';
import { standingOf } from '../standing.ts';
import type { Study } from '../study.ts';
import type { Opened } from './open-job.ts';
import type { JsonObject } from './rpc.ts';
import type { ServedJob } from './served-job.ts';

/** All that is known of a job by now, in names. */
export function stateOf({ work }: ServedJob, study: Study): JsonObject {
  const { board, derived } = work;
  const { stage, stages, warnings, injection } = standingOf(work, study);
  const events = derived.history.events.at(-1)?.n ?? 1;
  const ledger = derived.ledger.map((entry) => ({
    part: board.parts[entry.part]?.name ?? '?',
    ...(entry.pin === undefined ? {} : { pin: printPin(board, entry.pin) }),
    since: entry.since,
    text: ledgerText(board, entry),
  }));
  return {
    events,
    stage,
    stages,
    ...study.diagnosis,
    ledger,
    gates: gatesOf(board, derived),
    warnings,
    ...(injection === undefined ? {} : { injection }),
  };
}

/** What `open` answers: what the job is about, what to mind, and its state. */
export function openedJob(job: ServedJob, opened: Opened, study: Study): JsonObject {
  const { board, label, purpose } = job.work;
  const { name, revision, file, digest } = board;
  const rails = board.rails.map((rail) => ({
    name: rail.name,
    plus: board.nets[rail.plus]?.name ?? '?',
    minus: board.nets[rail.minus]?.name ?? '?',
    ...(rail.volts === undefined ? {} : { volts: rail.volts }),
  }));
  const counts = { parts: board.parts.length, nets: board.nets.length };
  return {
    schema: 'trace-short/serve/1',
    job: job.number,
    label,
    isNew: opened.isNew,
    purpose,
    board: {
      name,
      ...(revision === undefined ? {} : { revision }),
      file,
      digest,
      ...counts,
      rails,
    },
    meter: workbenchFor(board).bench.meter.name,
    cautions: viewCautions(board),
    notices: diagnosticDocuments(opened.warnings),
    state: stateOf(job, study),
  };
}
