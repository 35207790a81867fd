import type { FieldsShape, Shape } from '../../board/shape.ts';
import { percentText } from '../../circuit/meter-figures.ts';
import { DEFAULT_SHOP, type Shop, type ShopCheck } from './shop.ts';
import { propertyOf } from './shop-file.ts';
import { SHOP_SHAPE } from './shop-shape.ts';

/** One setting of a shop, beside its default. */
export interface ShopFigure {
  /** Keys that lead to it in the file. */
  readonly path: readonly string[];
  readonly doc: string;
  /** As the file would have it; undefined where there is none. */
  readonly text: string | undefined;
  readonly defaultText: string | undefined;
}

/** Doubts in the words of the file; shares as text, other figures as numbers. */
export type DoubtFigures = Readonly<Record<string, string | number>>;

/** The doubts of a shop that differ from the defaults; undefined when none does. `doubtsFrom` reads them. */
export function changedDoubts(shop: Shop): DoubtFigures | undefined {
  const shape = SHOP_SHAPE.fields.doubts as FieldsShape;
  const changed = figuresIn(shape, [], shop.doubts, DEFAULT_SHOP.doubts)
    .filter(({ text, defaultText }) => text !== defaultText)
    .map(({ path, text = '' }) => [path[0] ?? '', text.endsWith('%') ? text : Number(text)]);
  return changed.length === 0 ? undefined : Object.fromEntries(changed);
}

/** Every setting there is, in the order of the file; maps of names give one for each name. */
export function shopFigures(shop: Shop): ShopFigure[] {
  return figuresIn(SHOP_SHAPE, [], shop, DEFAULT_SHOP);
}

function figuresIn(
  shape: FieldsShape,
  path: readonly string[],
  value: object,
  fallback: object,
): ShopFigure[] {
  return Object.entries(shape.fields).flatMap(([key, of]) => {
    const property = propertyOf(key, fallback);
    const here = valueAt(value, property);
    const usual = valueAt(fallback, property);
    const to = [...path, key];
    if (of.is === 'fields') return figuresIn(of, to, asObject(here), asObject(usual));
    if (of.is === 'named') return namedFigures(of.of, to, here as ReadonlyMap<string, unknown>);
    const { doc = '' } = of;
    return [{ path: to, doc, text: shownText(of, here), defaultText: shownText(of, usual) }];
  });
}

function namedFigures(
  of: Shape,
  path: readonly string[],
  map: ReadonlyMap<string, unknown>,
): ShopFigure[] {
  return [...map].flatMap(([name, value]) => {
    const to = [...path, name];
    if (of.is === 'fields') return figuresIn(of, to, asObject(value), {});
    return [{ path: to, doc: of.doc ?? '', text: shownText(of, value), defaultText: undefined }];
  });
}

/** A value that is no map, as the file writes it; undefined for nothing and for an empty list. */
export function shownText(shape: Shape, value: unknown): string | undefined {
  if (value === undefined || value === '') return undefined;
  if (Array.isArray(value)) {
    return value.length === 0 ? undefined : `[${value.map(itemText).join(', ')}]`;
  }
  if (typeof value === 'number') return shape.is === 'percent' ? percentText(value) : String(value);
  return typeof value === 'boolean' ? String(value) : scalarText(String(value));
}

function itemText(item: string | ShopCheck): string {
  if (typeof item === 'string') return scalarText(item);
  if (item.boards.length === 0) return scalarText(item.check);
  return `{check: ${scalarText(item.check)}, boards: [${item.boards.map(scalarText).join(', ')}]}`;
}

const YAML_WORDS = /^(?:true|false|null|yes|no|on|off|y|n)$/i;

/** Plain where YAML takes it so, quoted elsewhere. */
export function scalarText(text: string): string {
  const isPlain = /^[\p{L}][\p{L}\p{N} .()/_-]*$/u.test(text) && !text.endsWith(' ');
  return isPlain && !YAML_WORDS.test(text) ? text : JSON.stringify(text);
}

function valueAt(value: object, property: string): unknown {
  return (value as Readonly<Record<string, unknown>>)[property];
}

function asObject(value: unknown): object {
  return typeof value === 'object' && value !== null ? value : {};
}
