import { type FoundName, searchNames } from '../../report/name-search.ts';
import { type Context, isPlain, styleFor } from '../context.ts';
import type { Work } from '../work.ts';
import { askAt } from './ask.ts';
import { clearScreen } from './screen.ts';

/** Names shown at a time. */
const MOST_FOUND = 9;

/**
 * Asks for a part or a net by a few of its letters.
 * @param head stays above: the step at hand
 * @param what only these, when said
 * @returns undefined when the person went back
 */
export async function findName(
  context: Context,
  { board }: Work,
  head: readonly string[],
  message: string,
  what?: FoundName['what'],
): Promise<FoundName | undefined> {
  const search = (letters: string): FoundName[] => {
    const found = searchNames(board, letters, what === undefined ? MOST_FOUND : 100);
    return found.filter((one) => what === undefined || one.what === what).slice(0, MOST_FOUND);
  };
  if (isPlain(context)) return await findPlain(context, search, message);
  const { askName } = await import('./find-prompt.ts');
  const { stdin: input, stderr: output } = context;
  for (let initial: string | undefined; ; ) {
    const { width } = await styleFor(context, output);
    clearScreen(context);
    output.write(
      `${[...head, '', 'Up and down choose, Enter takes, Escape goes back.'].join('\n')}\n`,
    );
    const typed = initial === undefined ? {} : { initial };
    const answer = await askName({ message, search, width, ...typed }, { input, output });
    if (answer.kind === 'found') return answer.found;
    if (answer.kind === 'none') return undefined;
    initial = answer.typed;
  }
}

/** Letters, then the number of one of the names they may mean. */
async function findPlain(
  context: Context,
  search: (letters: string) => readonly FoundName[],
  message: string,
): Promise<FoundName | undefined> {
  const none = { keys: new Set<string>(), hint: '' };
  const letters = await askAt(context, { ...none, message: `${message} (Enter alone: back)` });
  if (letters.kind !== 'line' || letters.text === '') return undefined;
  const found = search(letters.text);
  if (found.length < 2) {
    if (found.length === 0) context.stderr.write('Nothing is called so.\n');
    return found[0];
  }
  const rows = found.map(({ name, note }, index) => `${index + 1} ${name}, ${note}`);
  context.stderr.write(`${rows.join('\n')}\n`);
  const keys = new Set(found.map((_, index) => String(index + 1)));
  const pick = await askAt(context, { keys, hint: '', message: 'Which one?' });
  return pick.kind === 'key' ? found[Number(pick.key) - 1] : undefined;
}
