/** Whether a job still fits the board file it was opened for. */
import type { Diagnostic } from '../board/diagnostic.ts';
import type { Board } from '../board/model.ts';
import { type DerivedJob, deriveJob } from './derive.ts';
import type { RawJob } from './read-record.ts';

/**
 * Compares a job with a board: a warning when the board file has changed since the job was opened,
 * and an error for every standing event that no longer fits, with its line. None when all is well.
 */
export function checkBoard(job: RawJob, board: Board): Diagnostic[] {
  const derived = deriveJob(board, job.events, job.path);
  const warnings = tiedTo(job, derived) === board.digest ? [] : [changed(job, board)];
  return [...warnings, ...derived.problems];
}

/** SHA-256 of the board file's content that the job is of: as it was opened for it, or wrote it last. */
function tiedTo({ opening }: RawJob, { active }: DerivedJob): string {
  const said = active.map(({ say }) => say).findLast((say) => say.do === 'written');
  return said?.do === 'written' ? said.digest : opening.digest;
}

function changed(job: RawJob, board: Board): Diagnostic {
  const { opening } = job;
  const isOther = opening.board !== board.name || opening.revision !== board.revision;
  const was = named(opening.board, opening.revision);
  const message = isOther
    ? `"${job.path}" was opened for ${was}, but "${board.file}" is ${named(board.name, board.revision)}`
    : `"${board.file}" has changed since "${job.path}" was opened for it`;
  const hint = isOther
    ? 'name the board file this job belongs to'
    : 'earlier readings are now taken for readings of the changed board; check that it still fits';
  return { code: 'BOARD_CHANGED', severity: 'warning', message, hint };
}

function named(board: string, revision: string | undefined): string {
  return revision === undefined ? `"${board}"` : `"${board}" revision ${revision}`;
}
