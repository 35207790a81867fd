import { InputError } from '../../board/diagnostic.ts';
import type { Board } from '../../board/model.ts';
import { isOn, type SoakView } from '../../report/soak.ts';
import type { Style } from '../../report/style.ts';
import { wrap } from '../../report/wrap.ts';
import { type Asked, askedNow, soakLine } from './conversation.ts';
import type { LiveAnswer, LiveQuestion } from './live-prompt.ts';
import { soakScreen } from './screen.ts';

/** What the soak screen works with; all of the outside world comes in here. */
export interface SoakDesk {
  readonly board: Board;
  /** The soak as the record and the clock have it now. */
  view(): SoakView;
  /** Records one line; what was recorded. @throws {InputError} */
  record(line: string): Promise<string>;
  ask(question: LiveQuestion): Promise<LiveAnswer>;
  /** Called when something is due that was not before. */
  ring(): void;
  clear(): void;
  /** As wide as the terminal is now. */
  style(): Style;
  rows(): number;
}

/** Rows below the screen: the prompt, and one to spare. */
const PROMPT_ROWS = 2;

/**
 * Shows the soak until it ends or is left; what is typed is recorded at once. Nothing is lost by
 * leaving: the soak goes on in the record.
 * @throws {ExitPromptError} on Ctrl-C
 */
export async function watchSoak(desk: SoakDesk): Promise<'left' | 'ended'> {
  const skipped = new Map<string, number>();
  let news: readonly string[] = [];
  let initial: string | undefined;
  for (;;) {
    if (!isOn(desk.view())) return 'ended';
    const prompt = new SoakPrompt(desk, skipped, news);
    desk.clear();
    const answer = await desk.ask({
      ...(initial === undefined ? {} : { initial }),
      keys: new Set(['x']),
      isOver: () => !isOn(desk.view()),
      show: () => prompt.show(),
    });
    initial = undefined;
    news = [];
    if (answer.kind === 'over') continue;
    if (answer.kind === 'redraw') {
      initial = answer.typed;
      continue;
    }
    if (answer.kind !== 'line') return 'left';
    const { asked } = prompt;
    if (answer.text === '') {
      if (asked !== undefined) skipped.set(asked.name, desk.view().elapsed);
      continue;
    }
    try {
      const before = desk.view();
      const said = await desk.record(soakLine(desk.board, before, answer.text, asked));
      news = recordedLines(said, !before.isAmiss && desk.view().isAmiss, desk.style());
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      news = refusal(error, desk.style());
      initial = answer.text;
    }
  }
}

function recordedLines(said: string, isAmissNow: boolean, { width, palette }: Style): string[] {
  const recorded = wrap(`Recorded: ${said}`, width).map(palette.quiet);
  if (!isAmissNow) return recorded;
  const text =
    'That is out of its range: off at the source, then say stop and why; or observe again.';
  return [...recorded, ...wrap(text, width).map(palette.bad)];
}

/**
 * The screen at every tick. The question stays the same while someone may be typing the answer to it;
 * the bell rings once for each time something falls due.
 */
class SoakPrompt {
  readonly #desk: SoakDesk;
  readonly #skipped: ReadonlyMap<string, number>;
  readonly #news: readonly string[];
  #wasDue: boolean | undefined;
  #asked: Asked | undefined;

  constructor(desk: SoakDesk, skipped: ReadonlyMap<string, number>, news: readonly string[]) {
    this.#desk = desk;
    this.#skipped = skipped;
    this.#news = news;
  }

  /** What the screen asks for; a bare figure answers it. */
  get asked(): Asked | undefined {
    return this.#asked;
  }

  show(): { readonly lines: readonly string[]; readonly message: string } {
    const view = this.#desk.view();
    this.#ringWhenDue(view);
    this.#asked ??= askedNow(view, skippedNow(this.#skipped, view));
    const rows = this.#desk.rows() - PROMPT_ROWS;
    const lines = soakScreen(view, this.#news, this.#desk.style(), rows);
    return { lines: [...lines, ''], message: this.#asked?.question ?? '>' };
  }

  #ringWhenDue({ state, dueIn = 1 }: SoakView): void {
    const isDue = state === 'time is up' || dueIn <= 0;
    if (isDue && this.#wasDue === false) this.#desk.ring();
    this.#wasDue = isDue;
  }
}

/** What was passed over is asked for again an interval later. */
function skippedNow(
  skipped: ReadonlyMap<string, number>,
  { elapsed, every }: SoakView,
): Set<string> {
  return new Set([...skipped].flatMap(([name, at]) => (elapsed - at < every ? [name] : [])));
}

function refusal(error: InputError, { width, palette }: Style): string[] {
  return error.diagnostics
    .slice(0, 2)
    .flatMap(({ message, hint }) => [
      `Not recorded: ${message}`,
      ...(hint === undefined ? [] : [hint]),
    ])
    .flatMap((text) => wrap(text, width))
    .map(palette.bad);
}
