import { type Schema, schemaOf } from '../../board/schema.ts';
import { SHOP_SHAPE } from './shop-shape.ts';

/** The JSON Schema (draft 2020-12) of settings files, from the same shape that `loadShop` checks. */
export function shopSchema(): object {
  const { description: _own, ...schema }: Schema = schemaOf(SHOP_SHAPE);
  return {
    $schema: 'https://json-schema.org/draft/2020-12/schema',
    title: 'Shop settings',
    description: 'Bench times, policies, thresholds, meter, checks and prices of a shop.',
    ...schema,
  };
}
