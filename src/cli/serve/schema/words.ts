/** Pieces of JSON Schema (draft 2020-12), as few words as it takes. */
import type { Schema } from '../../../board/schema.ts';

export type { Schema } from '../../../board/schema.ts';

/** Fields of an object; a key that ends in `?` may be left out. */
export type Fields = Readonly<Record<string, Schema>>;

export function text(description: string): Schema {
  return { type: 'string', description };
}

/** A name of a net, part, pin or rail: what the notation takes for one word. */
export function name(description: string): Schema {
  return { type: 'string', pattern: '^\\S+$', description };
}

export function number(description: string, minimum?: number): Schema {
  return { type: 'number', description, ...(minimum === undefined ? {} : { minimum }) };
}

export function whole(description: string, minimum: number): Schema {
  return { type: 'integer', description, minimum };
}

/** A share of the weight, 0 to 1; sums may be off by what rounding does. */
export function weight(description: string): Schema {
  return { type: 'number', description, minimum: 0, maximum: 1 + 1e-6 };
}

export function flag(description: string): Schema {
  return { type: 'boolean', description };
}

export function choice(description: string, ...words: readonly string[]): Schema {
  return { enum: words, description };
}

export function list(items: Schema, description: string, least = 0, most?: number): Schema {
  return {
    type: 'array',
    items,
    description,
    ...(least > 0 ? { minItems: least } : {}),
    ...(most === undefined ? {} : { maxItems: most }),
  };
}

export function texts(description: string): Schema {
  return list({ type: 'string' }, description);
}

export function either(description: string, ...anyOf: readonly Schema[]): Schema {
  return { description, anyOf };
}

export function object(fields: Fields, description?: string): Schema {
  const properties = Object.fromEntries(
    Object.entries(fields).map(([key, schema]) => [key.replace(/\?$/, ''), schema]),
  );
  const required = Object.keys(fields).filter((key) => !key.endsWith('?'));
  return {
    type: 'object',
    properties,
    ...(required.length > 0 ? { required } : {}),
    ...(description === undefined ? {} : { description }),
  };
}

/** A piece that stands once, under `$defs`. */
export function ref(key: string): Schema {
  return { $ref: `#/$defs/${key}` };
}

/** The same, with no key in any object but those listed. */
export function closed(schema: Schema): Schema {
  const inside = Object.entries(schema).map(([key, value]) => [key, closedValue(value)]);
  const same = Object.fromEntries(inside) as Schema;
  return schema.properties === undefined ? same : { ...same, additionalProperties: false };
}

function closedValue(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(closedValue);
  return typeof value === 'object' && value !== null ? closed(value as Schema) : value;
}
