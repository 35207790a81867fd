import { StringDecoder } from 'node:string_decoder';
import { interrupted } from '../exit.ts';
import { suspend } from '../signals.ts';
import {
  BURST_MS,
  type KeyAnswer,
  type KeyQuestion,
  UNIT_MS,
  valueWithUnit,
} from './key-prompt.ts';

interface Streams {
  readonly input: NodeJS.ReadStream;
  readonly output: NodeJS.WriteStream;
}

/**
 * The same question for a screen reader, or a terminal that can only write on: what is typed appears
 * letter by letter, and nothing that stands on the screen is ever written over.
 * @throws {ExitPromptError} on Ctrl-C
 */
export function askPlain(question: KeyQuestion, streams: Streams): Promise<KeyAnswer> {
  return new Promise((resolve, reject) => new PlainPrompt(question, streams, resolve, reject));
}

class PlainPrompt {
  readonly #question: KeyQuestion;
  readonly #streams: Streams;
  readonly #resolve: (answer: KeyAnswer) => void;
  readonly #reject: (error: Error) => void;
  readonly #decoder = new StringDecoder('utf8');
  readonly #onData = (data: Buffer | string): void => this.#take(data);
  readonly #onEnd = (): void => this.#settle({ kind: 'closed' });
  readonly #onBack = (): void => this.#comeBack();
  #line: string;
  #timer: NodeJS.Timeout | undefined;
  readonly #ticks: NodeJS.Timeout | undefined;
  readonly #stopLive: (() => void) | undefined;
  #told = '';
  #isOver = false;

  constructor(
    question: KeyQuestion,
    streams: Streams,
    resolve: (answer: KeyAnswer) => void,
    reject: (error: Error) => void,
  ) {
    this.#question = question;
    this.#streams = streams;
    this.#resolve = resolve;
    this.#reject = reject;
    this.#line = question.initial ?? '';
    const { input } = streams;
    const { isOver } = question;
    if (isOver !== undefined) {
      this.#ticks = setInterval(() => {
        if (isOver()) this.#settle({ kind: 'closed' });
      }, 1000);
    }
    this.#show();
    input.on('data', this.#onData);
    input.on('end', this.#onEnd);
    process.on('SIGCONT', this.#onBack);
    if (input.isTTY) input.setRawMode(true);
    input.resume();
    this.#stopLive = question.live?.({
      show: (text) => this.#tell(text),
      isTyping: () => this.#line !== '',
      settle: (answer) => this.#settle(answer),
    });
  }

  /** A line of its own, with the prompt again below; figures that only change are not read out. */
  #tell(text: string): void {
    const kind = text.replace(/[-\d.]+ ?[mkM]?(?=Ω|V)/g, '');
    if (this.#isOver || kind === this.#told) return;
    this.#told = kind;
    this.#write(`\n${text}\n`);
    this.#show();
  }

  #show(): void {
    this.#write(`${this.#question.message} ${this.#line}`);
  }

  #write(text: string): void {
    this.#streams.output.write(text);
  }

  #take(data: Buffer | string): void {
    clearTimeout(this.#timer);
    const text = typeof data === 'string' ? data : this.#decoder.write(data);
    const keys = [...text.replace(ESCAPES, '')];
    for (const [at, key] of keys.entries()) {
      this.#press(key);
      if (!this.#isOver) continue;
      // What was pasted behind a line answers the next question.
      const rest = keys.slice(at + 1).join('');
      if (rest !== '') this.#streams.input.unshift(Buffer.from(rest));
      return;
    }
    this.#waitForCompany();
  }

  #press(key: string): void {
    if (key === '\u0003') {
      this.#end();
      this.#reject(interrupted());
    } else if (key === '\u001a') this.#stop();
    else if (key === '\u0004') {
      if (this.#line === '') this.#settle({ kind: 'closed' });
    } else if (key === '\r' || key === '\n') this.#enter();
    else if (key === '\u007f' || key === '\b') this.#erase();
    else if (key === '\u0015') {
      this.#line = '';
      this.#write('\n');
      this.#show();
    } else if (key >= ' ') {
      this.#line += key;
      this.#write(key);
    }
  }

  #erase(): void {
    if (this.#line === '') return;
    this.#line = [...this.#line].slice(0, -1).join('');
    this.#write('\b \b');
  }

  #enter(): void {
    const text = this.#line.trim();
    const isKey = this.#question.keys.has(text) && !this.#line.startsWith(' ');
    this.#settle(isKey ? { kind: 'key', key: text } : { kind: 'line', text });
  }

  /** A pasted line arrives as a burst: its first letter must not answer for the whole. */
  #waitForCompany(): void {
    const line = this.#line;
    const value = valueWithUnit(line, this.#question.units);
    const answer: KeyAnswer | undefined = this.#question.keys.has(line)
      ? { kind: 'key', key: line }
      : value === undefined
        ? undefined
        : { kind: 'line', text: value };
    if (answer === undefined) return;
    const wait = answer.kind === 'key' ? BURST_MS : UNIT_MS;
    this.#timer = setTimeout(() => {
      if (this.#line === line) this.#settle(answer);
    }, wait);
  }

  #stop(): void {
    const { input } = this.#streams;
    if (input.isTTY) input.setRawMode(false);
    suspend();
    this.#comeBack();
  }

  /** Meanwhile a shell may have set the terminal its own way. */
  #comeBack(): void {
    const { input } = this.#streams;
    if (this.#isOver || !input.isTTY) return;
    input.setRawMode(false);
    input.setRawMode(true);
    this.#write('\n');
    this.#show();
  }

  #settle(answer: KeyAnswer): void {
    if (this.#isOver) return;
    this.#end();
    this.#resolve(answer);
  }

  #end(): void {
    const { input } = this.#streams;
    this.#isOver = true;
    this.#stopLive?.();
    clearTimeout(this.#timer);
    clearInterval(this.#ticks);
    input.off('data', this.#onData);
    input.off('end', this.#onEnd);
    process.off('SIGCONT', this.#onBack);
    if (input.isTTY) input.setRawMode(false);
    input.pause();
    this.#write('\n');
  }
}

/** Arrow keys and their like mean nothing here. */
// biome-ignore lint/suspicious/noControlCharactersInRegex: keys send them.
const ESCAPES = /\u001b(?:\[[0-9;]*[A-Za-z~]|O.|)/gu;
