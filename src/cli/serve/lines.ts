/** One line of the input. */
export interface InputLine {
  /** From 1. */
  readonly number: number;
  /** Without its line break; undefined when it is longer than a line may be. */
  readonly text: string | undefined;
}

const LINE_BREAK = 0x0a;

/**
 * The lines of a stream of bytes, blank ones left out. Of a line that is too long no more than the
 * limit is ever held; the next line is read as usual.
 * @param most bytes of a line
 */
export async function* linesOf(
  input: AsyncIterable<Uint8Array | string>,
  most: number,
): AsyncGenerator<InputLine> {
  let number = 0;
  const line = new HalfLine(most);
  for await (const chunk of input) {
    const bytes = typeof chunk === 'string' ? Buffer.from(chunk) : chunk;
    let from = 0;
    for (;;) {
      const end = bytes.indexOf(LINE_BREAK, from);
      if (end < 0) break;
      line.add(bytes.subarray(from, end));
      from = end + 1;
      number += 1;
      const text = line.take();
      if (text !== '') yield { number, text };
    }
    line.add(bytes.subarray(from));
  }
  // The last line may lack its line break.
  const text = line.take();
  if (text !== '') yield { number: number + 1, text };
}

/** The beginning of a line, as far as it has come in. */
class HalfLine {
  readonly #most: number;
  #pieces: Uint8Array[] = [];
  #size = 0;

  constructor(most: number) {
    this.#most = most;
  }

  add(piece: Uint8Array): void {
    this.#size += piece.length;
    if (this.#size > this.#most) this.#pieces = [];
    // A copy: the stream may use its own bytes again.
    else if (piece.length > 0) this.#pieces.push(Uint8Array.from(piece));
  }

  /** The whole line, trimmed, and room for the next; undefined when it was too long. */
  take(): string | undefined {
    const isTooLong = this.#size > this.#most;
    const text = isTooLong
      ? undefined
      : new TextDecoder().decode(Buffer.concat(this.#pieces)).trim();
    this.#pieces = [];
    this.#size = 0;
    return text;
  }
}
