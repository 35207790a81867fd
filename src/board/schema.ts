import { BOARD_SHAPE } from './board-shape.ts';
import { catalogue } from './catalogue.ts';
import { type Measure, measurePattern } from './measures.ts';
import type {
  FieldsShape,
  NamedShape,
  NumberShape,
  QuantityShape,
  Shape,
  TextShape,
} from './shape.ts';
import { PERCENT_PATTERN, quantityPattern } from './units.ts';

/** A JSON Schema, or a piece of one. */
export type Schema = { readonly [keyword: string]: unknown };

/**
 * The JSON Schema (draft 2020-12) of board files, for editors to check and complete with.
 * Generated from the same shape that {@link loadBoard} checks; what one entry asks of another
 * (pins of a kind, nets of a rail) is beyond it.
 */
export function boardSchema(): object {
  return {
    $schema: 'https://json-schema.org/draft/2020-12/schema',
    title: 'Board file',
    description: 'Parts joined by nets, with jumpers, rails and heatsinks.',
    ...schemaOf(withKindNames()),
  };
}

/** The board's shape with the catalogue's kinds for an editor to offer. */
function withKindNames(): FieldsShape {
  const parts = BOARD_SHAPE.fields.parts;
  if (parts?.is !== 'named' || parts.of.is !== 'fields') return BOARD_SHAPE;
  const kind = parts.of.fields.kind;
  if (kind?.is !== 'text') return BOARD_SHAPE;
  const offered = { ...kind, suggestions: [...catalogue().keys()] };
  const part = { ...parts.of, fields: { ...parts.of.fields, kind: offered } };
  return { ...BOARD_SHAPE, fields: { ...BOARD_SHAPE.fields, parts: { ...parts, of: part } } };
}

/** The schema of one shape. */
export function schemaOf(shape: Shape): Schema {
  const description = shape.doc === undefined ? {} : { description: shape.doc };
  return { ...description, ...bareSchema(shape) };
}

function bareSchema(shape: Shape): Schema {
  switch (shape.is) {
    case 'text':
      return textSchema(shape);
    case 'flag':
      return { type: 'boolean' };
    case 'choice':
      return { enum: shape.words };
    case 'number':
      return numberSchema(shape);
    case 'quantity':
      return quantitySchema(shape);
    case 'percent':
      return { type: 'string', pattern: PERCENT_PATTERN };
    case 'measure':
      return measureSchema(shape.of);
    case 'list':
      return {
        type: 'array',
        items: schemaOf(shape.of),
        ...(shape.least === undefined ? {} : { minItems: shape.least }),
        ...(shape.most === undefined ? {} : { maxItems: shape.most }),
      };
    case 'fields':
      return fieldsSchema(shape);
    case 'named':
      return namedSchema(shape);
    case 'either':
      return { anyOf: shape.options.map(schemaOf) };
  }
}

/** YAML reads `5` as a number; a net or a revision may be called that. */
function textSchema(shape: TextShape): Schema {
  const { pattern, numbers = 'number', suggestions } = shape;
  const text = { type: ['string', numbers], ...(pattern === undefined ? {} : { pattern }) };
  return suggestions === undefined ? text : { ...text, examples: suggestions };
}

function numberSchema(shape: NumberShape): Schema {
  return {
    type: 'number',
    ...(shape.least === undefined ? {} : { minimum: shape.least }),
    ...(shape.most === undefined ? {} : { maximum: shape.most }),
  };
}

/** Text needs a digit above zero before any exponent, as the checker needs a value above zero. */
function quantitySchema({ unit, zero }: QuantityShape): Schema {
  if (zero === true)
    return { type: ['number', 'string'], minimum: 0, pattern: quantityPattern(unit) };
  return {
    type: ['number', 'string'],
    exclusiveMinimum: 0,
    pattern: `^(?=[^eE]*[1-9])${quantityPattern(unit).slice(1)}`,
  };
}

function measureSchema(of: Measure): Schema {
  const pattern = measurePattern(of);
  if (of === 'weight') return { type: 'string', pattern };
  return { type: ['number', 'string'], exclusiveMinimum: 0, pattern };
}

function fieldsSchema(shape: FieldsShape): Schema {
  const properties = Object.entries(shape.fields).map(([key, of]) => [key, schemaOf(of)]);
  return {
    type: 'object',
    properties: Object.fromEntries(properties),
    additionalProperties: false,
    ...(shape.required.length > 0 ? { required: shape.required } : {}),
  };
}

function namedSchema(shape: NamedShape): Schema {
  const { pattern } = shape.key;
  return {
    type: 'object',
    ...(pattern === undefined ? {} : { propertyNames: { pattern } }),
    additionalProperties: schemaOf(shape.of),
    ...(shape.least === undefined ? {} : { minProperties: shape.least }),
  };
}
