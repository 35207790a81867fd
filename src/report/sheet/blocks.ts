/**
 * A sheet as plain pieces of text, tables and pictures, before it is written in one form or another.
 * Every form writes all of them and adds nothing.
 */

/** How a text may be set off; the text itself says the same. */
export type Tone = 'good' | 'bad' | 'warn';

export interface Cell {
  readonly text: string;
  readonly tone?: Tone;
}

export type Block =
  | { readonly kind: 'heading'; readonly level: 2 | 3; readonly text: string }
  | { readonly kind: 'text'; readonly text: string; readonly tone?: Tone }
  | { readonly kind: 'list'; readonly items: readonly string[]; readonly tone?: Tone }
  /** Labels with what stands behind them. */
  | { readonly kind: 'facts'; readonly rows: readonly (readonly [string, string])[] }
  /** The first cell of a row names the row. */
  | {
      readonly kind: 'table';
      readonly caption: string;
      readonly columns: readonly string[];
      readonly rows: readonly (readonly Cell[])[];
    }
  | DrawingBlock
  | BarsBlock
  | PhotoBlock
  /** Lines to be filled in by hand. */
  | { readonly kind: 'blanks'; readonly labels: readonly string[] };

export interface DrawingBlock {
  readonly kind: 'drawing';
  readonly caption: string;
  /** The same picture in words, one element each. */
  readonly says: readonly string[];
  readonly drawing: Drawing;
}

/** Quantities of one kind, each a bar beside its name; the words behind it say the figure. */
export interface BarsBlock {
  readonly kind: 'bars';
  readonly caption: string;
  readonly bars: readonly {
    readonly name: string;
    readonly value: number;
    readonly says: string;
  }[];
}

export interface PhotoBlock {
  readonly kind: 'photo';
  /** Name of the file as the job gives it; finds the picture itself. */
  readonly file: string;
  /** What it shows, the file's name in it. */
  readonly text: string;
}

export interface SheetDocument {
  readonly title: string;
  readonly blocks: readonly Block[];
}

/** How sure it is that an element of a drawing conducts as it should not. */
export type Standing = 'failed' | 'suspect' | 'healthy' | 'lifted' | 'renewed';

/** A small circuit: nets, and elements between two of them. */
export interface Drawing {
  /** From top to bottom. */
  readonly nets: readonly string[];
  readonly elements: readonly DrawnElement[];
}

export interface DrawnElement {
  /** Places in `nets`. */
  readonly from: number;
  readonly to: number;
  readonly standing: Standing;
  /** The end whose leg is in the air. */
  readonly gap?: 'from' | 'to';
  /** Up to three short lines: name, mode or ohms, what was done. */
  readonly lines: readonly string[];
}

/** A cell, with a tone where there is one. */
export function cell(text: string, tone?: Tone): Cell {
  return tone === undefined ? { text } : { text, tone };
}
