import type { Place } from '../../diagnostic.ts';
import { Parameters } from './values.ts';
import type { Word } from './words.ts';

/** A line of a deck that puts something between nodes. */
export interface Element {
  readonly name: string;
  /** Everything behind the name, as written. */
  readonly words: readonly string[];
  readonly line: number;
  readonly file: string;
}

/** What a `.model` line says that matters here. */
export interface Model {
  readonly name: string;
  /** In capitals: `NPN`, `NMOS`, `VDMOS`, `D`. */
  readonly type: string;
  /** Of a `VDMOS`: its other channel. */
  readonly isPChannel: boolean;
  /** Breakdown of a diode, V. */
  readonly breakdown?: number;
}

/** A deck, or a subcircuit within it: its elements, and the names that hold within it. */
export class Scope {
  readonly name: string;
  readonly ports: readonly string[];
  readonly line: number;
  readonly file: string;
  readonly around: Scope | undefined;
  readonly depth: number;
  readonly parameters: Parameters;
  /** Names of its parameters, which a call may set. */
  readonly isSized: boolean;
  readonly elements: Element[] = [];
  /** Lines with an element, also those that were not kept. */
  count = 0;
  readonly #models = new Map<string, Model>();
  readonly #subcircuits = new Map<string, Scope>();
  /** Why this is the model of a part and no piece of a board. */
  device: string | undefined;

  constructor(
    head: { name: string; ports: readonly string[]; line: number; file: string; isSized: boolean },
    around?: Scope,
  ) {
    this.name = head.name;
    this.ports = head.ports;
    this.line = head.line;
    this.file = head.file;
    this.isSized = head.isSized;
    this.around = around;
    this.depth = (around?.depth ?? 0) + 1;
    this.parameters = new Parameters(around?.parameters);
  }

  addModel(model: Model): void {
    const key = model.name.toUpperCase();
    if (!this.#models.has(key)) this.#models.set(key, model);
  }

  /** @returns the one of that name that was there before */
  addSubcircuit(scope: Scope): Scope | undefined {
    const key = scope.name.toUpperCase();
    const known = this.#subcircuits.get(key);
    if (!known) this.#subcircuits.set(key, scope);
    return known;
  }

  model(name: string): Model | undefined {
    return this.#models.get(name.toUpperCase()) ?? this.around?.model(name);
  }

  subcircuit(name: string): Scope | undefined {
    return this.#subcircuits.get(name.toUpperCase()) ?? this.around?.subcircuit(name);
  }

  subcircuits(): Iterable<Scope> {
    return this.#subcircuits.values();
  }
}

/** Where a word stands, for messages; with the line itself where that is at hand. */
export function placeOf(word: Word, file: string, text: string): Place {
  return {
    file,
    line: word.line,
    column: word.column,
    endColumn: word.column + Math.max(1, word.text.length),
    ...(text === '' ? {} : { text }),
  };
}
