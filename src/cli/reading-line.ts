import { harmless } from '../board/shown-text.ts';
import type { Style } from '../report/style.ts';
import { type Context, styleFor } from './context.ts';

/** Nothing is said of reading that takes less, ms. */
const MOMENT_MS = 600;
/** How often it is told anew, ms. */
const TELL_MS = 200;

/** How far a large file is read: one line on stderr, written over itself and wiped at the end. */
export class ReadingLine {
  readonly #stderr: NodeJS.WriteStream | undefined;
  readonly #style: Style | undefined;
  readonly #name: string;
  readonly #size: number;
  readonly #from = performance.now();
  #toldAt: number | undefined;

  private constructor(stderr?: NodeJS.WriteStream, style?: Style, name = '', size = 0) {
    this.#stderr = stderr;
    this.#style = style;
    this.#name = name;
    this.#size = size;
  }

  /** Says nothing off a terminal. */
  static async for(context: Context, name: string, size: number): Promise<ReadingLine> {
    const { stderr, env } = context;
    if (!stderr.isTTY || env.TERM === 'dumb') return new ReadingLine();
    return new ReadingLine(stderr, await styleFor(context, stderr), harmless(name), size);
  }

  static silent(): ReadingLine {
    return new ReadingLine();
  }

  /** @param bytes  read so far */
  tell(bytes: number): void {
    const now = performance.now();
    if (!this.#stderr || !this.#style || now - this.#from < MOMENT_MS) return;
    if (this.#toldAt !== undefined && now - this.#toldAt < TELL_MS) return;
    const share =
      this.#size > 0 ? ` ${Math.min(100, Math.round((100 * bytes) / this.#size))} % of` : '';
    // The share first: a long path is cut short.
    const text = `Reading${share} ${this.#name}`.slice(0, this.#style.width - 1);
    this.#stderr.write(`\r\u001b[K${this.#style.palette.quiet(text)}`);
    this.#toldAt = now;
  }

  wipe(): void {
    if (this.#toldAt !== undefined) this.#stderr?.write('\r\u001b[K');
    this.#toldAt = undefined;
  }
}
