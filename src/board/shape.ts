import type { Measure } from './measures.ts';
import type { Unit } from './units.ts';

/**
 * What a piece of a board file may look like. One description drives both the checks
 * (`check-shape.ts`) and the published JSON Schema (`schema.ts`), so that they cannot differ.
 */
export type Shape =
  | TextShape
  | { readonly is: 'flag'; readonly doc?: string }
  | { readonly is: 'choice'; readonly doc?: string; readonly words: readonly string[] }
  /** A number, with no unit and no suffix. */
  | NumberShape
  | QuantityShape
  | { readonly is: 'percent'; readonly doc?: string }
  /** Copper weight or a length, with its unit; a bare number is a length in mm. */
  | { readonly is: 'measure'; readonly doc?: string; readonly of: Measure }
  | ListShape
  | FieldsShape
  | NamedShape
  /** The first option that can hold the kind of node found decides. */
  | { readonly is: 'either'; readonly doc?: string; readonly options: readonly Shape[] };

export interface TextShape {
  readonly is: 'text';
  readonly doc?: string;
  /** Regular expression source the whole text must match, and in words what it asks for. */
  readonly pattern?: string;
  readonly asks?: string;
  /** What a bare number may be, where YAML reads one: any by default. */
  readonly numbers?: 'integer';
  /** Words an editor may offer; others are allowed. */
  readonly suggestions?: readonly string[];
}

export interface NumberShape {
  readonly is: 'number';
  readonly doc?: string;
  readonly least?: number;
  readonly most?: number;
}

/** A number, or text with an SI suffix, RKM code, unit word; above zero unless said otherwise. */
export interface QuantityShape {
  readonly is: 'quantity';
  readonly doc?: string;
  readonly unit: Unit;
  /** Zero is a value like any other here: leads that were nulled. */
  readonly zero?: true;
}

export interface ListShape {
  readonly is: 'list';
  readonly doc?: string;
  readonly of: Shape;
  readonly least?: number;
  readonly most?: number;
}

/** A map with known keys. */
export interface FieldsShape {
  readonly is: 'fields';
  readonly doc?: string;
  /** Name of one such map in messages: `a part`. */
  readonly title: string;
  readonly fields: Readonly<Record<string, Shape>>;
  readonly required: readonly string[];
}

/** A map whose keys a person chooses. */
export interface NamedShape {
  readonly is: 'named';
  readonly doc?: string;
  readonly key: TextShape;
  readonly of: Shape;
  readonly least?: number;
}
