import type { Progress, Sliced } from '../faults/sliced.ts';
import { type Context, isPlain, styleFor } from './context.ts';
import { EXIT } from './exit.ts';
import { optimiseAsUsual } from './tiering.ts';

/** Work that has taken so much may take much longer, ms. */
const LONG_MS = 200;
/** Nothing is said of work that takes less, ms. */
const MOMENT_MS = 600;
/** How long is worked before signals are heard again, ms. */
const TURN_MS = 40;
/** How often the progress is told anew, ms. */
const TELL_MS = 200;

/**
 * Does long work while a person may wait for it: progress on stderr where that is a terminal, wiped
 * away at the end. The first Ctrl-C asks for the best answer so far, the second leaves at once.
 * @param now ms on any clock; when it pauses and tells depends on it, what comes out does not
 */
export async function atLength<T>(
  context: Context,
  work: Sliced<T>,
  now: () => number = monotonicMs,
): Promise<T> {
  let isStopped = false;
  const interrupt = (): void => {
    if (isStopped) process.exit(EXIT.interrupted);
    isStopped = true;
  };
  const line = new ProgressLine(context, now);
  const start = now();
  let turn = start;
  process.on('SIGINT', interrupt);
  try {
    for (;;) {
      const step = work.next(isStopped);
      if (step.done === true) return step.value;
      if (now() - turn < TURN_MS) continue;
      if (now() - start > LONG_MS) optimiseAsUsual();
      await line.tell(step.value, isStopped);
      await nextTurn();
      turn = now();
    }
  } finally {
    process.off('SIGINT', interrupt);
    line.wipe();
  }
}

/** Does long work a while at a time, so that everything else in the process goes on meanwhile. */
export async function inTurns<T>(work: Sliced<T>, now: () => number = monotonicMs): Promise<T> {
  let turn = now();
  for (;;) {
    const step = work.next(false);
    if (step.done === true) return step.value;
    if (now() - turn < TURN_MS) continue;
    await nextTurn();
    turn = now();
  }
}

/** One line of progress, written over itself. */
class ProgressLine {
  readonly #context: Context;
  readonly #now: () => number;
  readonly #from: number;
  #toldAt = Number.NEGATIVE_INFINITY;

  constructor(context: Context, now: () => number) {
    this.#context = context;
    this.#now = now;
    this.#from = now();
  }

  async tell(progress: Progress, isStopped: boolean): Promise<void> {
    const { stderr } = this.#context;
    const now = this.#now();
    if (!stderr.isTTY || isPlain(this.#context)) return;
    if (now - this.#from < MOMENT_MS || now - this.#toldAt < TELL_MS) return;
    const { width, palette } = await styleFor(this.#context, stderr);
    const text = progressText(progress, isStopped, width - 1);
    stderr.write(`\r\u001b[K${palette.quiet(text)}`);
    this.#toldAt = now;
  }

  wipe(): void {
    if (this.#toldAt > Number.NEGATIVE_INFINITY) this.#context.stderr.write('\r\u001b[K');
  }
}

/** The most telling comes first; what does not fit a narrow terminal is left out. */
function progressText(
  { work, mostWork, leftOut }: Progress,
  isStopped: boolean,
  width: number,
): string {
  if (isStopped) return 'Stopping with the best answer so far …'.slice(0, width);
  const percent = (share: number): string => `${Math.round(100 * share)} %`;
  const effort = percent(Math.min(1, work / mostWork));
  let text = 'Working out the next step …'.slice(0, width);
  const more = [
    ` ${effort} of the effort`,
    `, ${percent(leftOut)} of the weight open`,
    ' (Ctrl-C: best so far)',
  ];
  for (const piece of more) {
    if (text.length + piece.length > width) break;
    text += piece;
  }
  return text;
}

/** Node loads its whole performance module for `performance.now()`, which start-up can do without. */
function monotonicMs(): number {
  return Number(process.hrtime.bigint()) / 1e6;
}

function nextTurn(): Promise<void> {
  return new Promise((go) => {
    setImmediate(go);
  });
}
