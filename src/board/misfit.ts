import * as complaints from './complaints.ts';
import type { Findings } from './findings.ts';
import type { Raw } from './raw.ts';
import type { Shape } from './shape.ts';
import type { Spot } from './source-text.ts';

/** Something of the wrong sort, or nothing where something is asked for. */
export function misfit(raw: Raw, shape: Shape, findings: Findings): undefined {
  findings.error(spotShown(raw), complaints.wrongType(sortOf(raw), sortAsked(shape)));
  return undefined;
}

/** A whole map or list would underline half the file: mark its beginning only. */
export function spotShown(raw: Raw): Spot {
  if (raw.is === 'text') return raw;
  return { start: raw.start, end: Math.min(raw.end, raw.start + 1) };
}

function sortOf(raw: Raw): string {
  if (raw.is === 'map') return 'a map (key: value)';
  if (raw.is === 'list') return 'a list';
  const text = raw.is === 'text' ? raw.value : raw.text;
  if (text === '' && raw.is === 'text' && raw.plain) return 'nothing';
  return `"${text.length > 60 ? `${text.slice(0, 57)}…` : text}"`;
}

function sortAsked(shape: Shape): string {
  switch (shape.is) {
    case 'fields':
      return `${shape.title} (key: value)`;
    case 'named':
      return 'a map (name: value)';
    case 'list':
      return 'a list [a, b]';
    case 'either':
      return shape.options.map(sortAsked).join(' or ');
    case 'text':
      return shape.asks ?? 'text';
    case 'choice':
      return shape.words.join(' or ');
    case 'flag':
      return 'true or false';
    case 'number':
      return 'a number';
    case 'quantity':
      return `a value in ${shape.unit}`;
    case 'percent':
      return 'a tolerance such as 1%';
    case 'measure':
      return shape.of === 'weight' ? 'a copper weight such as 1 oz' : 'a length such as 2 mm';
  }
}
