/** Longer than any line a meter has to say. */
const MOST_CHARACTERS = 256;
/** Stands for a line that was too long: no reading, no answer to anything. */
export const TOO_LONG = '?';

/** Makes lines of what arrives in pieces: ends at LF, CR or both, empty lines left out, length bounded. */
export class LineSplitter {
  #held = '';
  #isTooLong = false;

  /** @param piece text as it came, whatever it is */
  push(piece: string): string[] {
    const lines: string[] = [];
    const [first = '', ...more] = piece.split(/[\r\n]/);
    this.#grow(first);
    for (const next of more) {
      const line = this.#take();
      if (line !== '') lines.push(line);
      this.#grow(next);
    }
    return lines;
  }

  #grow(text: string): void {
    if (this.#isTooLong) return;
    this.#isTooLong = this.#held.length + text.length > MOST_CHARACTERS;
    this.#held = this.#isTooLong ? '' : this.#held + text;
  }

  #take(): string {
    const line = this.#isTooLong ? TOO_LONG : this.#held;
    this.#held = '';
    this.#isTooLong = false;
    return line;
  }
}
