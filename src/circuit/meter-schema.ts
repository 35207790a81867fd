import { type Schema, schemaOf } from '../board/schema.ts';
import { METERS_SHAPE } from './meter-shape.ts';

/** The JSON Schema (draft 2020-12) of meter files, from the same shape that `loadMeters` checks. */
export function meterSchema(): object {
  const { description: _own, ...schema }: Schema = schemaOf(METERS_SHAPE);
  return {
    $schema: 'https://json-schema.org/draft/2020-12/schema',
    title: 'Meter file',
    description: 'Meters by name: beeper, leads, modes and how each drives the points.',
    ...schema,
  };
}
