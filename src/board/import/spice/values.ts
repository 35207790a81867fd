/** Powers of ten by the letters behind a number; `M` is milli here, as everywhere in decks. */
const POWERS: readonly (readonly [string, number])[] = [
  ['MEG', 6],
  ['MIL', Number.NaN],
  ['T', 12],
  ['G', 9],
  ['K', 3],
  ['M', -3],
  ['U', -6],
  ['µ', -6],
  ['N', -9],
  ['P', -12],
  ['F', -15],
];

/** m in a thousandth of an inch, which `MIL` stands for. */
const MIL = 25.4e-6;

/**
 * A number as a deck writes it: `4.7k`, `10MEG`, `1e-9`, `10uF`, and `4K7` with the letter in place
 * of the point. Letters behind the power are a unit and say nothing.
 */
export function spiceNumber(text: string): number | undefined {
  const match = /^([+-]?(?:\d+\.?\d*|\.\d+)(?:E[+-]?\d+)?)([A-ZµΩ]*)(\d*)[A-ZΩ]*$/.exec(
    text.toUpperCase().replaceAll('\u039c', 'µ'),
  );
  if (!match) return undefined;
  const [, digits = '', letters = '', fraction = ''] = match;
  const [power, exponent] = POWERS.find(([word]) => letters.startsWith(word)) ?? ['', 0];
  if (power === 'MIL') return fraction === '' ? finite(Number(digits) * MIL) : undefined;
  if (fraction === '') return finite(Number(`${plain(digits)}e${exponent + exponentOf(digits)}`));
  // `4K7`: the letter is the point, and only a power or an R may stand there.
  const isPoint = letters === power || letters === 'R';
  if (!isPoint || /[.E]/.test(digits)) return undefined;
  return finite(Number(`${digits}.${fraction}e${exponent}`));
}

function plain(digits: string): string {
  return digits.replace(/E.*$/, '');
}

function exponentOf(digits: string): number {
  return Number(/E(.*)$/.exec(digits)?.[1] ?? 0);
}

function finite(value: number): number | undefined {
  return Number.isFinite(value) ? value : undefined;
}

/** Names that stand on names that stand on names. */
const DEEPEST = 50;

/** Longer sums are no value a person wrote. */
const LONGEST_SUM = 500;

/** Names that `.param` or a call gave a value, in capitals; those of the deck around show through. */
export class Parameters {
  readonly #around: Parameters | undefined;
  readonly #texts = new Map<string, string>();
  /** Each worked out once: sums may stand on sums that stand on sums. */
  readonly #values = new Map<string, number | undefined>();

  constructor(around?: Parameters) {
    this.#around = around;
  }

  set(name: string, text: string): void {
    this.#texts.set(name.toUpperCase(), text);
    this.#values.clear();
  }

  /**
   * The value of a word: a number, a parameter, or sums and products of them in `{}` or `''`.
   * Undefined for anything else; the part is there all the same.
   */
  value(word: string): number | undefined {
    return this.#value(word, 0);
  }

  #value(word: string, depth: number): number | undefined {
    const bare = /^[{'"](.*)[}'"]$/.exec(word)?.[1] ?? word;
    const number = spiceNumber(bare.trim());
    if (number !== undefined) return number;
    if (bare.length > LONGEST_SUM || depth > DEEPEST) return undefined;
    return new Sum(bare, (name) => this.#named(name.toUpperCase(), depth + 1)).value();
  }

  /** Undefined for a name that is not known, or that stands on itself. */
  #named(name: string, depth: number): number | undefined {
    const text = this.#texts.get(name);
    if (text === undefined) {
      return this.#around === undefined ? undefined : this.#around.#named(name, depth);
    }
    if (!this.#values.has(name)) {
      this.#values.set(name, undefined);
      this.#values.set(name, this.#value(text, depth));
    }
    return this.#values.get(name);
  }
}

/** Reads `a + b*(c - 2k)`; whatever it does not know makes the whole undefined. */
class Sum {
  readonly #tokens: readonly string[];
  readonly #lookUp: (name: string) => number | undefined;
  #at = 0;

  constructor(text: string, lookUp: (name: string) => number | undefined) {
    const pattern = /\s*((?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?[A-Za-zµ]*|[A-Za-z_]\w*|\S)/gy;
    this.#tokens = [...text.matchAll(pattern)].map((match) => match[1] ?? '');
    this.#lookUp = lookUp;
  }

  value(): number | undefined {
    const value = this.#sum();
    const isWhole = this.#at === this.#tokens.length && Number.isFinite(value);
    return isWhole ? value : undefined;
  }

  #sum(): number {
    let value = this.#product();
    while (this.#is('+') || this.#is('-')) {
      const sign = this.#tokens[this.#at++] === '+' ? 1 : -1;
      value += sign * this.#product();
    }
    return value;
  }

  #product(): number {
    let value = this.#factor();
    while (this.#is('*') || this.#is('/')) {
      const isTimes = this.#tokens[this.#at++] === '*';
      const next = this.#factor();
      value = isTimes ? value * next : value / next;
    }
    return value;
  }

  #factor(): number {
    const token = this.#tokens[this.#at++];
    if (token === undefined) return Number.NaN;
    if (token === '-') return -this.#factor();
    if (token === '(') {
      const value = this.#sum();
      const isClosed = this.#tokens[this.#at++] === ')';
      return isClosed ? value : Number.NaN;
    }
    if (/^[\d.]/.test(token)) return spiceNumber(token) ?? Number.NaN;
    return this.#lookUp(token) ?? Number.NaN;
  }

  #is(token: string): boolean {
    return this.#tokens[this.#at] === token;
  }
}
