import { InputError } from '../../board/diagnostic.ts';
import { nearest } from '../../board/nearest.ts';
import { SCRIPTS, SHELLS, type Shell } from '../completion/scripts.ts';
import type { Run } from '../context.ts';
import { EXIT } from '../exit.ts';

/** Prints the script with which a shell completes commands, files, and the names of a board. */
export const run: Run = async (_context, { words }) => {
  const [shell = ''] = words;
  if (!isShell(shell)) return refuse(shell);
  const script = SCRIPTS[shell];
  return {
    exit: EXIT.ok,
    document: { shell, script },
    text: () => script.trimEnd().split('\n'),
  };
};

function isShell(text: string): text is Shell {
  return SHELLS.some((shell) => shell === text);
}

function refuse(shell: string): never {
  const meant = nearest(shell, SHELLS);
  const hint =
    meant === undefined ? `it is one of ${SHELLS.join(', ')}` : `did you mean "${meant}"?`;
  const message = `there is no completion for "${shell}"`;
  throw new InputError([{ code: 'USAGE', severity: 'error', message, hint }]);
}
