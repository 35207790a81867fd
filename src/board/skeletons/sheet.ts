/** A board of a stage as it is put together: parts under headings, with designators given out in turn. */
export class Sheet {
  readonly rails: SheetRail[] = [];
  readonly sections: Section[] = [];
  readonly #firsts: ReadonlyMap<string, number>;
  readonly #next = new Map<string, number>();

  /** @param firsts first number by designator letters; `*` for all others */
  constructor(firsts: ReadonlyMap<string, number>) {
    this.#firsts = firsts;
  }

  rail(name: string, plus: string, minus: string, volts: number): void {
    this.rails.push({ name, plus, minus, volts });
  }

  /** Parts from here on stand under this heading. */
  heading(text: string): void {
    this.sections.push({ text, parts: [] });
  }

  /**
   * Adds a part.
   * @param letters of its designator; the number is the next free one
   * @param pins nets by pin, or a list for parts whose ends are alike
   * @returns its designator
   */
  part(letters: string, kind: string, pins: SheetPins, facts: PartWords = {}): string {
    const number =
      this.#next.get(letters) ?? this.#firsts.get(letters) ?? this.#firsts.get('*') ?? 1;
    this.#next.set(letters, number + 1);
    const name = `${letters}${number}`;
    this.sections.at(-1)?.parts.push({ name, kind, pins, facts });
    return name;
  }

  /** What the number of the next part with these letters will be. */
  nextNumber(letters: string): number {
    return this.#next.get(letters) ?? this.#firsts.get(letters) ?? this.#firsts.get('*') ?? 1;
  }
}

export interface SheetRail {
  readonly name: string;
  readonly plus: string;
  readonly minus: string;
  readonly volts: number;
}

export interface Section {
  readonly text: string;
  readonly parts: SheetPart[];
}

export type SheetPins = readonly string[] | Readonly<Record<string, string>>;

export interface SheetPart {
  readonly name: string;
  readonly kind: string;
  readonly pins: SheetPins;
  readonly facts: PartWords;
}

/** What a board file may say of a part, as it is written there. */
export interface PartWords {
  readonly ohms?: string | number;
  readonly farads?: string;
  readonly henries?: string;
  readonly volts?: number;
  readonly tolerance?: string;
  readonly windings?: Readonly<
    Record<string, { readonly pins: readonly [string, string]; readonly ohms: number }>
  >;
  readonly heatsink?: string;
  readonly bank?: string;
  readonly text?: string;
  /** What such a board usually has here, to be confirmed on the real one. */
  readonly guess?: readonly string[];
}
