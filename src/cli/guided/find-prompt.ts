import { createPrompt, isEnterKey, useEffect, useKeypress, useRef, useState } from '@inquirer/core';
import type { FoundName } from '../../report/name-search.ts';
import { onTerminal } from './terminal-events.ts';

/** What came of looking for a name. */
export type FindAnswer =
  | { readonly kind: 'found'; readonly found: FoundName }
  | { readonly kind: 'none' }
  | { readonly kind: 'redraw'; readonly typed: string };

export interface FindQuestion {
  readonly message: string;
  /** What some letters may mean, best first. */
  readonly search: (letters: string) => readonly FoundName[];
  /** Columns of the terminal. */
  readonly width: number;
  readonly initial?: string;
}

/** Narrows a list of names with every letter; up and down choose, Enter takes, Escape leaves. */
export const askName: ReturnType<typeof createPrompt<FindAnswer, FindQuestion>> = createPrompt<
  FindAnswer,
  FindQuestion
>((question, done) => {
  const [typed, setTyped] = useState('');
  const [chosen, setChosen] = useState(0);
  const state = useRef({ settled: false });
  const matches = question.search(typed);

  const settle = (answer: FindAnswer): void => {
    if (state.current.settled) return;
    state.current.settled = true;
    done(answer);
  };

  useEffect((rl) => {
    if (question.initial !== undefined) {
      rl.write(question.initial);
      setTyped(question.initial);
    }
    return onTerminal(
      rl,
      () => settle({ kind: 'redraw', typed: rl.line }),
      () => settle({ kind: 'none' }),
    );
  }, []);

  useKeypress((event, rl) => {
    if (event.name === 'escape') settle({ kind: 'none' });
    else if (isEnterKey(event)) {
      const found = matches[chosen];
      settle(found === undefined ? { kind: 'none' } : { kind: 'found', found });
    } else if (event.name === 'down') setChosen(Math.min(chosen + 1, matches.length - 1));
    else if (event.name === 'up') setChosen(Math.max(0, chosen - 1));
    else {
      setTyped(rl.line);
      setChosen(0);
    }
  });

  const rows = matches.map(({ name, note }, index) =>
    `${index === chosen ? '>' : ' '} ${name}  ${note}`.slice(0, question.width - 1),
  );
  const none = typed === '' ? 'a few letters of a part or net' : 'nothing is called so';
  return [`${question.message} ${typed}`, rows.length === 0 ? none : rows.join('\n')];
});
