import type { FieldsShape, NamedShape, Shape } from '../../board/shape.ts';
import { DEFAULT_SHOP, type Shop, type ShopCheck } from './shop.ts';
import { scalarText, shownText } from './shop-figures.ts';
import { propertyOf } from './shop-file.ts';
import { SHOP_SHAPE } from './shop-shape.ts';

const HEAD = [
  '# Settings of a trace-short shop. Every line may be left out; it then keeps its default.',
  '# Lines that begin with "# " and a key are examples of what has no default.',
  '# What is in force where you stand, and from which file: trace-short shop',
];

/** What a setting without a default might be, by its path. */
const EXAMPLES: Readonly<Record<string, readonly string[]>> = {
  shop: ['shop: Our workshop'],
  meter: ['meter: common handheld'],
  currency: ['currency: EUR'],
  'hourly-rate': ['hourly-rate: 48'],
  'policies.replace-on-suspicion.up-to': ['up-to: 0.50'],
  'memory.records': ['records: jobs'],
  'memory.database': ['database: postgres://bench1@shop-server/shop'],
  checks: [
    'checks:',
    '  - Lifts the test weight and holds it',
    '  - {check: Brake drops out below 20 V, boards: ["Chain-hoist motor drive, 48 V"]}',
  ],
  'prices.list': ['list: prices.csv'],
  'prices.usual': ['usual: {electrolytic: 0.60, ceramic: 0.05, n-mosfet: 3.20}'],
  boards: ['boards:', '  "Chain-hoist motor drive, 48 V": {value: 320}'],
};

/** Columns a comment may fill. */
const WIDTH = 100;

/** A settings file that says everything, each line with what it means; `loadShop` gives the shop back. */
export function printShop(shop: Shop = DEFAULT_SHOP): string {
  return `${[...HEAD, ...fieldLines(SHOP_SHAPE, shop, DEFAULT_SHOP, [], 0)].join('\n')}\n`;
}

function fieldLines(
  shape: FieldsShape,
  value: object,
  fallback: object,
  path: readonly string[],
  depth: number,
): string[] {
  return Object.entries(shape.fields).flatMap(([key, of]) => {
    const property = propertyOf(key, fallback);
    const here = (value as Readonly<Record<string, unknown>>)[property];
    const to = [...path, key];
    const gap = depth === 0 ? [''] : [];
    return [...gap, ...settingLines(key, of, here, to, depth, fallback)];
  });
}

function settingLines(
  key: string,
  of: Shape,
  value: unknown,
  path: readonly string[],
  depth: number,
  fallback: object,
): string[] {
  const indent = '  '.repeat(depth);
  const remark = remarkLines(of.doc ?? '', indent);
  const example = EXAMPLES[path.join('.')] ?? [];
  const asExample = [...remark, ...example.map((line) => `${indent}# ${line}`)];
  if (of.is === 'fields') {
    const below = (fallback as Readonly<Record<string, object>>)[propertyOf(key, fallback)] ?? {};
    const lines = fieldLines(of, (value ?? {}) as object, below, path, depth + 1);
    const isEmpty = lines.every((line) => /^\s*(?:#|$)/.test(line));
    return [...remark, `${indent}${isEmpty ? '# ' : ''}${key}:`, ...lines];
  }
  if (of.is === 'named') {
    const map = value as ReadonlyMap<string, unknown>;
    return map.size === 0 ? asExample : [...remark, `${indent}${key}:`, ...named(of, map, depth)];
  }
  if (key === 'checks') {
    const checks = value as readonly ShopCheck[];
    if (checks.length === 0) return asExample;
    return [...remark, `${indent}${key}:`, ...checks.map((check) => checkLine(of, check, indent))];
  }
  const text = shownText(of, value);
  if (text === undefined) {
    // An empty list differs from one that was left out.
    return Array.isArray(value) ? [...remark, `${indent}${key}: []`] : asExample;
  }
  const line = `${indent}${key}: ${text}`;
  const beside = `${line}  # ${of.doc}`;
  return beside.length <= WIDTH ? [beside] : [...remark, line];
}

function named(of: NamedShape, map: ReadonlyMap<string, unknown>, depth: number): string[] {
  const indent = '  '.repeat(depth + 1);
  return [...map].map(([name, value]) => {
    if (of.of.is !== 'fields') {
      return `${indent}${scalarText(name)}: ${shownText(of.of, value)}`;
    }
    const entries = Object.entries(value as object).map(([key, item]) => `${key}: ${item}`);
    return `${indent}${scalarText(name)}: {${entries.join(', ')}}`;
  });
}

function checkLine(of: Shape, check: ShopCheck, indent: string): string {
  const [, text = ''] = /^\[(.*)\]$/s.exec(shownText(of, [check]) ?? '') ?? [];
  return `${indent}  - ${text}`;
}

function remarkLines(doc: string, indent: string): string[] {
  if (doc === '') return [];
  const lines: string[] = [];
  let line = `${indent}#`;
  for (const word of doc.split(' ')) {
    if (`${line} ${word}`.length > WIDTH) {
      lines.push(line);
      line = `${indent}#`;
    }
    line += ` ${word}`;
  }
  return [...lines, line];
}
