import { type CleanNames, cleanNames, cleanPin } from './clean-names.ts';
import type { DraftPin } from './draft.ts';
import { EXTRA_KINDS } from './extra-kinds.ts';
import type { ImportedPart, ProposedRail } from './imported.ts';
import { writeQuantity } from './value-text.ts';

/** A board about to be written as a file. */
interface ImportedBoard {
  readonly name: string;
  /** Lines for the head of the file, without `#`. */
  readonly remarks: readonly string[];
  readonly rails: readonly ProposedRail[];
  readonly parts: readonly ImportedPart[];
}

/** Longer entries are spread over several lines. */
const LONGEST_LINE = 200;

/** Kinds whose pins may be given as a list of nets: two ends that are alike, in order 1, 2. */
const LISTED_PINS: ReadonlySet<string> = new Set(
  'jumper fuse resistor thermistor varistor inductor bead ceramic film crystal'.split(' '),
);

/**
 * A board file from imported parts. Names are cleaned so that a board file takes them; values are
 * written with SI suffixes, positions in mm.
 */
export function writeBoardYaml(
  board: ImportedBoard,
  names: CleanNames = cleanNames(board.parts),
): string {
  const lines = board.remarks.map((remark) => `# ${oneLine(remark)}`.trimEnd());
  lines.push(`board: ${scalar(label(board.name))}`);
  if (board.rails.length > 0) lines.push('', 'rails:');
  for (const rail of board.rails) lines.push(writeRail(rail, names));
  const kinds = new Set(board.parts.map((part) => part.kind));
  const extra = Object.entries(EXTRA_KINDS).filter(([kind]) => kinds.has(kind));
  if (extra.length > 0) {
    lines.push('', 'kinds:');
    for (const [kind, text] of extra) {
      lines.push(`  ${kind}:`, ...text.split('\n').map((line) => `    ${line}`));
    }
  }
  lines.push('', 'parts:');
  // One by one: a call takes only so many arguments.
  for (const part of board.parts) lines.push(...writePart(part, names));
  return `${lines.join('\n')}\n`;
}

function writeRail(rail: ProposedRail, names: CleanNames): string {
  const net = (old: string): string => scalar(names.nets.get(old) ?? old);
  const volts = rail.volts === undefined ? '' : `, volts: ${rail.volts}`;
  const fields = `{plus: ${net(rail.plus)}, minus: ${net(rail.minus)}${volts}}`;
  return `  ${scalar(label(rail.name))}: ${fields} # ${oneLine(rail.reason)}`;
}

function writePart(part: ImportedPart, names: CleanNames): string[] {
  const fields: [string, string][] = [['kind', part.kind]];
  if (part.ohms !== undefined) fields.push(['ohms', writeQuantity(part.ohms)]);
  if (part.farads !== undefined) fields.push(['farads', writeQuantity(part.farads)]);
  if (part.henries !== undefined) fields.push(['henries', writeQuantity(part.henries)]);
  if (part.volts !== undefined) fields.push(['volts', writeQuantity(part.volts)]);
  if (part.toleranceRatio !== undefined) {
    fields.push(['tolerance', `${Number((part.toleranceRatio * 100).toPrecision(6))}%`]);
  }
  fields.push(['pins', writePins(part, names)]);
  if (part.package !== undefined) fields.push(['package', scalar(oneLine(part.package))]);
  if (part.partNumber !== undefined) fields.push(['part-number', scalar(oneLine(part.partNumber))]);
  if (part.text !== undefined) fields.push(['text', scalar(oneLine(part.text))]);
  if (part.side !== undefined) fields.push(['side', part.side]);
  if (part.at !== undefined) fields.push(['at', `[${part.at.join(', ')}]`]);
  const places = pinPlaces(part.pins);
  if (places !== undefined) fields.push(['pin-at', places]);
  if (part.guesses.length > 0) {
    fields.push(['guess', `[${part.guesses.map((guess) => scalar(oneLine(guess))).join(', ')}]`]);
  }
  return layOut(scalar(names.parts.get(part.name) ?? part.name), fields);
}

function layOut(name: string, fields: readonly [string, string][]): string[] {
  const line = `  ${name}: {${fields.map(([key, value]) => `${key}: ${value}`).join(', ')}}`;
  if (line.length <= LONGEST_LINE) return [line];
  return [`  ${name}:`, ...fields.map(([key, value]) => `    ${key}: ${value}`)];
}

function writePins(part: ImportedPart, names: CleanNames): string {
  const net = (pin: DraftPin): string => scalar(names.nets.get(pin.net) ?? pin.net);
  if (LISTED_PINS.has(part.kind)) return `[${part.pins.map(net).join(', ')}]`;
  return `{${part.pins.map((pin) => `${scalar(cleanPin(pin.name))}: ${net(pin)}`).join(', ')}}`;
}

function pinPlaces(pins: readonly DraftPin[]): string | undefined {
  const places = pins.flatMap((pin) =>
    pin.at ? [`${scalar(cleanPin(pin.name))}: [${pin.at.join(', ')}]`] : [],
  );
  return places.length === 0 ? undefined : `{${places.join(', ')}}`;
}

/** Plain where YAML takes it for the same text in any place, else in double quotes. */
function scalar(text: string): string {
  const word =
    /^[A-Za-z_/][A-Za-z0-9_/+\-.()]*$/.test(text) &&
    !/^(true|false|null|yes|no|on|off|y|n)$/i.test(text);
  const count = /^(0|[1-9]\d{0,8})$/.test(text);
  return word || count ? text : JSON.stringify(text);
}

function oneLine(text: string): string {
  return text.replace(/[\p{C}\s]+/gu, ' ').trim();
}

function label(text: string): string {
  return oneLine(text).slice(0, 190) || 'board';
}
