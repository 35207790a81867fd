import { createPrompt, isEnterKey, useEffect, useKeypress, useRef, useState } from '@inquirer/core';
import type { KeyAnswer } from '../guided/key-prompt.ts';
import { onTerminal } from '../guided/terminal-events.ts';

export type LiveAnswer = Exclude<KeyAnswer, { kind: 'heard' }> | { readonly kind: 'over' };

export interface LiveQuestion {
  /** The screen above the prompt, and the prompt itself; asked anew at every tick. */
  readonly show: () => { readonly lines: readonly string[]; readonly message: string };
  /** True once there is nothing left to ask: the prompt ends by itself. */
  readonly isOver: () => boolean;
  /** Single characters that answer at once when typed first. */
  readonly keys: ReadonlySet<string>;
  /** A line to mend, put there as if typed. */
  readonly initial?: string;
  readonly tickMs?: number;
}

/** A pasted line arrives as a burst: its first letter must not answer for the whole. */
const BURST_MS = 20;

/** Asks for a key or a line below a screen that keeps its clock running. */
export const askLive: ReturnType<typeof createPrompt<LiveAnswer, LiveQuestion>> = createPrompt<
  LiveAnswer,
  LiveQuestion
>((question, done) => {
  const [typed, setTyped] = useState('');
  const [, setTick] = useState(0);
  const [closed, setClosed] = useState(false);
  const state = useRef({ settled: false, ticks: 0 });

  const settle = (answer: LiveAnswer): void => {
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
    const timer = setInterval(() => {
      if (question.isOver()) settle({ kind: 'over' });
      else setTick(++state.current.ticks);
    }, question.tickMs ?? 1000);
    const giveUp = onTerminal(
      rl,
      () => settle({ kind: 'redraw', typed: rl.line }),
      () => settle({ kind: 'closed' }),
    );
    return () => {
      clearInterval(timer);
      giveUp();
    };
  }, []);

  useKeypress((event, rl) => {
    if (state.current.settled) return;
    if (isEnterKey(event)) {
      settle({ kind: 'line', text: typed.trim() });
      return;
    }
    const { line } = rl;
    setTyped(line);
    if (!question.keys.has(line)) return;
    setTimeout(() => {
      if (rl.line === line) settle({ kind: 'key', key: line });
    }, BURST_MS);
  });

  if (closed) return '';
  const { lines, message } = question.show();
  return [...lines, `${message} ${typed}`].join('\n');
});
