import { yamlScalar as scalar } from '../yaml-scalar.ts';
import { printAnswer } from './question.ts';
import type { Sheet, SheetPart } from './sheet.ts';
import type { Size, Skeleton } from './skeleton.ts';

/** A stage as a board file: what it was made from at its head, parts under headings, one a line. */
export function writeSkeleton(stage: Skeleton, size: Size, sheet: Sheet): string {
  const answers = [...size.all]
    .filter(([name]) => name !== 'board')
    .map(([name, answer]) => `${name}=${printAnswer(answer)}`);
  return `${[
    `# ${stage.title}: ${stage.summary}.`,
    `# Made from a skeleton (${answers.join(', ')}),`,
    '# not read off a board: look every part up on the one on the bench, correct what differs, and take',
    '# "guess" out of what was seen to be so. Positions (at: [x, y] in mm) sharpen the advice.',
    `board: ${scalar(size.word('board'))}`,
    'rails:',
    ...sheet.rails.map(
      ({ name, plus, minus, volts }) =>
        `  ${scalar(name)}: {plus: ${scalar(plus)}, minus: ${scalar(minus)}, volts: ${volts}}`,
    ),
    'parts:',
    ...sheet.sections.flatMap(({ text, parts }) => ['', `  # ${text}`, ...parts.map(writePart)]),
  ].join('\n')}\n`;
}

const IN_ORDER = ['ohms', 'farads', 'henries', 'volts', 'tolerance'] as const;

function writePart({ name, kind, pins, facts }: SheetPart): string {
  const fields = [`kind: ${kind}`];
  for (const key of IN_ORDER) {
    if (facts[key] !== undefined) fields.push(`${key}: ${facts[key]}`);
  }
  fields.push(`pins: ${writePins(pins)}`);
  if (facts.windings !== undefined) fields.push(`windings: ${writeWindings(facts.windings)}`);
  if (facts.heatsink !== undefined) fields.push(`heatsink: ${scalar(facts.heatsink)}`);
  if (facts.bank !== undefined) fields.push(`bank: ${scalar(facts.bank)}`);
  if (facts.text !== undefined) fields.push(`text: ${scalar(facts.text)}`);
  if (facts.guess !== undefined) fields.push(`guess: [${facts.guess.map(scalar).join(', ')}]`);
  return `  ${name}: {${fields.join(', ')}}`;
}

function writePins(pins: SheetPart['pins']): string {
  if (Array.isArray(pins)) return `[${pins.map(scalar).join(', ')}]`;
  const named = Object.entries(pins).map(([pin, net]) => `${scalar(pin)}: ${scalar(net)}`);
  return `{${named.join(', ')}}`;
}

function writeWindings(windings: NonNullable<SheetPart['facts']['windings']>): string {
  const each = Object.entries(windings).map(
    ([name, { pins, ohms }]) => `${scalar(name)}: {pins: [${pins.join(', ')}], ohms: ${ohms}}`,
  );
  return `{${each.join(', ')}}`;
}
