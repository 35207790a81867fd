import { existsSync } from 'node:fs';
import { dirname, isAbsolute, relative, resolve } from 'node:path';
import { type Diagnostic, InputError } from '../board/diagnostic.ts';
import type { RawJob } from '../job/record.ts';

/** The board file is looked for beside the job first, then from where the command runs. */
export function boardPathOf(job: RawJob): string {
  const { file } = job.opening;
  if (isAbsolute(file)) return file;
  const beside = resolve(dirname(job.path), file);
  const found = [relative('.', beside), file].find((path) => existsSync(path));
  if (found !== undefined) return found;
  const diagnostic: Diagnostic = {
    code: 'NO_BOARD',
    severity: 'error',
    message: `the board file "${file}" of "${job.path}" is not there`,
    hint: 'name it with --board FILE',
  };
  throw new InputError([diagnostic]);
}
