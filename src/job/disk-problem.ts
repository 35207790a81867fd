/** System errors in a technician's words. */
import { InputError } from '../board/diagnostic.ts';
import { errorCode } from './disk.ts';

const MEANING: ReadonlyMap<string, readonly [string, string]> = new Map([
  ['ENOENT', ['there is no such file or folder', 'check the spelling of the path']],
  ['EISDIR', ['it is a folder', 'name a file in it']],
  ['ENOTDIR', ['a file stands where its path needs a folder', 'check the path']],
  ['EACCES', ['this user may not', 'check the rights of the file and its folder']],
  ['EPERM', ['this user may not', 'check the rights of the file and its folder']],
  ['EROFS', ['the disk is read-only', 'keep the job on a disk that can be written']],
  ['ENOSPC', ['the disk is full', 'free some room and say it again']],
  ['EDQUOT', ['the quota of this user is used up', 'free some room and say it again']],
  [
    'EFBIG',
    ['the file may grow no larger', 'raise the limit of file sizes (ulimit -f) and say it again'],
  ],
  ['EEXIST', ['it exists already', 'name a new file, or go on with that one']],
  ['ENAMETOOLONG', ['the path is too long', 'choose a shorter name']],
  ['ELOOP', ['its links lead in a circle', 'name the file itself']],
  ['EIO', ['the disk reports a fault', 'copy the job elsewhere and check the disk']],
  ['EMFILE', ['too many files are open', 'close other programs and try again']],
]);

/**
 * Turns a system error into an {@link InputError}; anything else comes back as it was.
 * @param doing what was tried, e.g. `cannot read "job.yaml"`
 */
export function diskProblem(error: unknown, doing: string): unknown {
  const code = errorCode(error);
  if (code === undefined || error instanceof InputError) return error;
  const [meaning, hint] = MEANING.get(code) ?? [`the system says ${code}`, undefined];
  const message = `${doing}: ${meaning}`;
  return new InputError([
    { code: 'FILE_PROBLEM', severity: 'error', message, ...(hint === undefined ? {} : { hint }) },
  ]);
}

/** Runs `work`; a system error inside is thrown in words. */
export function inWords<T>(doing: string, work: () => T): T {
  try {
    return work();
  } catch (error) {
    throw diskProblem(error, doing);
  }
}

/** Runs clean-up that may fail without harm. */
export function atBest(work: () => void): void {
  try {
    work();
  } catch (error) {
    if (errorCode(error) === undefined) throw error;
  }
}
