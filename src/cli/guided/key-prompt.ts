import { createPrompt, isEnterKey, useEffect, useKeypress, useRef, useState } from '@inquirer/core';
import { onTerminal } from './terminal-events.ts';

/** What the person did: pressed one bound key, or typed a line and ended it with Enter. */
export type KeyAnswer =
  | { readonly kind: 'key'; readonly key: string }
  | { readonly kind: 'line'; readonly text: string }
  /** Nobody answered: the screen is to be laid out anew, and asked again with what was typed so far. */
  | { readonly kind: 'redraw'; readonly typed: string }
  /** A meter answered: the lines to record, and what more to tell. */
  | { readonly kind: 'heard'; readonly lines: readonly string[]; readonly told?: string }
  /** No more can be typed: end of input. */
  | { readonly kind: 'closed' };

/** The prompt, as whatever answers beside the keys sees it. */
export interface LiveHost {
  /** Shows text below the prompt, in place of what stood there. */
  show(text: string): void;
  /** Whether a line is being typed: then only the keys count. */
  isTyping(): boolean;
  settle(answer: KeyAnswer): void;
}

/** Begins to answer beside the keys; the call given back ends it. */
export type Live = (host: LiveHost) => () => void;

export interface KeyQuestion {
  /** Stands before what is typed. */
  readonly message: string;
  /** Single characters that answer at once. */
  readonly keys: ReadonlySet<string>;
  /** Told below the prompt: what the keys do. */
  readonly hint: string;
  /** A line to mend, put there as if typed. */
  readonly initial?: string;
  /** By letter: the unit that, right behind a figure, ends it without Enter. */
  readonly units?: ReadonlyMap<string, string>;
  /** Looked at every second: true once there is nothing left to ask. Only where nothing is drawn over. */
  readonly isOver?: () => boolean;
  /** Answers beside the keys. */
  readonly live?: Live;
}

/**
 * How long a key waits for company. A pasted line arrives as a burst: its first letter must not
 * answer for the whole.
 */
export const BURST_MS = 20;
/** How long a figure with its unit waits: someone may be typing the unit in full. */
export const UNIT_MS = 600;

/** `4.7k`, typed where ohms are asked for, as `4.7 kohm`; undefined for anything else. */
export function valueWithUnit(
  typed: string,
  units: ReadonlyMap<string, string> | undefined,
): string | undefined {
  const [, figure, letter = ''] = /^\s*([+-]?(?:\d+[.,]?\d*|[.,]\d+))([a-z])$/iu.exec(typed) ?? [];
  const unit = units?.get(letter);
  return figure === undefined || unit === undefined ? undefined : `${figure} ${unit}`;
}

/**
 * Asks for one key or one line. A bound key typed first answers at once; any other character
 * starts a line, and a blank starts one too, so that a line may begin with a bound letter. A change
 * of the terminal's size, and coming back from Ctrl-Z, ask for the screen to be drawn anew.
 */
export const askKey: ReturnType<typeof createPrompt<KeyAnswer, KeyQuestion>> = createPrompt<
  KeyAnswer,
  KeyQuestion
>((question, done) => {
  const [typed, setTyped] = useState('');
  const [note, setNote] = useState(question.hint);
  const [closed, setClosed] = useState(false);
  const state = useRef({ settled: false });

  const settle = (answer: KeyAnswer): void => {
    if (state.current.settled) return;
    state.current.settled = true;
    setClosed(true);
    done(answer);
  };

  useEffect((rl) => {
    if (question.initial !== undefined) {
      rl.write(question.initial);
      setTyped(question.initial);
    }
    const stopLive = question.live?.({ show: setNote, isTyping: () => rl.line !== '', settle });
    const stopTerminal = onTerminal(
      rl,
      () => settle({ kind: 'redraw', typed: rl.line }),
      () => settle({ kind: 'closed' }),
    );
    return () => {
      stopLive?.();
      stopTerminal();
    };
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
    const answerLater = (answer: KeyAnswer, ms: number): void => {
      setTimeout(() => {
        if (rl.line === line) settle(answer);
      }, ms);
    };
    if (question.keys.has(line)) answerLater({ kind: 'key', key: line }, BURST_MS);
    const value = valueWithUnit(line, question.units);
    if (value !== undefined) answerLater({ kind: 'line', text: value }, UNIT_MS);
  });

  const shown = `${question.message} ${typed}`;
  return closed ? shown : [shown, note];
});
