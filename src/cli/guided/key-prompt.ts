import { createPrompt, isEnterKey, useEffect, useKeypress, useRef, useState } from '@inquirer/core';

/** What the person did: pressed one bound key, or typed a line and ended it with Enter. */
export type KeyAnswer =
  | { readonly kind: 'key'; readonly key: string }
  | { readonly kind: 'line'; readonly text: string };

export interface KeyQuestion {
  /** Stands before what is typed. */
  readonly message: string;
  /** Single characters that answer at once. */
  readonly keys: ReadonlySet<string>;
  /** Told below the prompt: what the keys do. */
  readonly hint: string;
  /** A line to mend, put there as if typed. */
  readonly initial?: string;
}

/**
 * How long a key waits for company. A pasted line arrives as a burst: its first letter must not
 * answer for the whole.
 */
const BURST_MS = 20;

/**
 * Asks for one key or one line. A bound key typed first answers at once; any other character
 * starts a line, and a blank starts one too, so that a line may begin with a bound letter.
 */
export const askKey: ReturnType<typeof createPrompt<KeyAnswer, KeyQuestion>> = createPrompt<
  KeyAnswer,
  KeyQuestion
>((question, done) => {
  const [typed, setTyped] = useState('');
  const [closed, setClosed] = useState(false);
  const state = useRef({ settled: false });

  const settle = (answer: KeyAnswer): void => {
    if (state.current.settled) return;
    state.current.settled = true;
    setClosed(true);
    done(answer);
  };

  useEffect((rl) => {
    if (question.initial === undefined) return;
    rl.write(question.initial);
    setTyped(question.initial);
  }, []);

  useKeypress((event, rl) => {
    if (state.current.settled) return;
    if (isEnterKey(event)) {
      const text = typed.trim();
      settle(
        question.keys.has(text) && !typed.startsWith(' ')
          ? { kind: 'key', key: text }
          : { kind: 'line', text },
      );
      return;
    }
    const line = rl.line;
    setTyped(line);
    if (!question.keys.has(line)) return;
    setTimeout(() => {
      if (rl.line === line) settle({ kind: 'key', key: line });
    }, BURST_MS);
  });

  const shown = `${question.message} ${typed}`;
  return closed ? shown : [shown, question.hint];
});
