import type { Answer, Question } from './question.ts';
import type { Sheet } from './sheet.ts';

/** A power stage as boards usually have it: what to ask about one, and its parts by the answers. */
export interface Skeleton {
  /** As it is typed: `half-bridge`. */
  readonly name: string;
  /** For people, and the board's name unless another is given. */
  readonly title: string;
  /** What it is made of, in one line. */
  readonly summary: string;
  readonly questions: readonly Question[];
  /** What two answers together rule out, if anything. */
  readonly objection?: (size: Size) => string | undefined;
  readonly draw: (size: Size, sheet: Sheet) => void;
}

/** Answers to a stage's questions, by name. */
export class Size {
  readonly #answers: ReadonlyMap<string, Answer>;

  constructor(answers: ReadonlyMap<string, Answer>) {
    this.#answers = answers;
  }

  /** A count, or V. */
  number(name: string): number {
    const answer = this.#answers.get(name);
    return typeof answer === 'number' ? answer : 0;
  }

  numbers(name: string): readonly number[] {
    const answer = this.#answers.get(name);
    return Array.isArray(answer) ? answer : [];
  }

  flag(name: string): boolean {
    return this.#answers.get(name) === true;
  }

  word(name: string): string {
    return String(this.#answers.get(name) ?? '');
  }

  /** By question, in the order they are asked. */
  get all(): ReadonlyMap<string, Answer> {
    return this.#answers;
  }
}
