import type { End, GrownValues, Growth } from '../../board/growth.ts';
import { writeQuantity } from '../../board/import/value-text.ts';

/** Gives the line that reads back as the statement. */
export function printGrowth(growth: Growth): string {
  const tail = growth.instead ? ' instead' : '';
  switch (growth.do) {
    case 'joins':
      return `${growth.part} joins ${growth.ends.map(endText).join(' and ')}${tail}`;
    case 'goes':
      return `${growth.part}.${growth.pin} goes to ${endText(growth.to)}${tail}`;
    case 'is':
      return `${growth.part} is ${whatText(growth)}${tail}`;
  }
}

function endText({ net, isNew }: End): string {
  return isNew ? `new ${net}` : net;
}

const UNITS: readonly (readonly [keyof GrownValues, string])[] = [
  ['ohms', 'ohm'],
  ['farads', 'F'],
  ['henries', 'H'],
  ['volts', 'V'],
];

function whatText(growth: Extract<Growth, { do: 'is' }>): string {
  const { kind, text } = growth;
  const article = /^[aeiou]/i.test(kind ?? '') ? 'an' : 'a';
  const values = UNITS.flatMap(([key, unit]) => {
    const value = growth[key];
    return value === undefined ? [] : [`${writeQuantity(value)}${unit}`];
  });
  const words = [
    ...(kind === undefined ? [] : [article, kind]),
    ...(text === undefined ? [] : [text]),
  ];
  return [...words, ...values].join(' ');
}
