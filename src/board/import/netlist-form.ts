import { HEADER_WITHIN } from './columns.ts';
import { type CsvRow, findSeparator, readCsv } from './csv.ts';
import type { NetlistForm } from './netlist.ts';
import { headsPinList } from './pin-list.ts';

/** Endings that hint at a form; what a file holds counts for more. */
const ENDINGS: readonly (readonly [RegExp, NetlistForm])[] = [
  [/\.(ipc|d356a?|356a?|ipc356|ipcd356)$/i, 'IPC-D-356'],
  [/\.(cir|sp|spi|spc|spice|ckt|subckt)$/i, 'SPICE'],
  [/\.(csv|tsv|tab|psv)$/i, 'pin list'],
];

/** Test records, and the parameters such a file begins with. */
const IPC_RECORD = /^(3[0-2]7.{14} {0,3}.*|3[67-9][0-9]|0[1-9][0-9]|999\s*$)/;
const IPC_HEAD = /^P {1,3}(UNITS|VER|JOB|TITLE|CODE|IMAGE|NNAME|DIM|NUM|REV|FORM)/;

const SPICE_CARD =
  /^\s*\.(subckt|model|include|inc|lib|ends|end|tran|op|ac|dc|param|global|title|options?|backanno|control|temp|ic|save|probe|print|plot|measure|meas|four|noise)\b/i;
/** A letter, a name, two nodes and something more. */
const SPICE_ELEMENT = /^[RCLDQMJXVIEGFHBKSWTZ][\w.$#@+-]*(\s+[^\s,;|]+){3,}/i;

/**
 * Which form a netlist is in, told by its first lines, and by the file's ending where they say
 * nothing; undefined when neither does.
 */
export function netlistForm(head: readonly string[], file: string): NetlistForm | undefined {
  const lines = head.filter((line) => line.trim() !== '');
  const ending = ENDINGS.find(([pattern]) => pattern.test(file))?.[1];
  if (lines.some(isForeign)) return undefined;
  const records = lines.filter((line) => IPC_RECORD.test(line) || IPC_HEAD.test(line)).length;
  const comments = lines.filter((line) => /^C(\s|$)/.test(line)).length;
  if (records > 0 && 2 * (records + comments) > lines.length) return 'IPC-D-356';
  if (rowsOf(head).some(headsPinList)) return 'pin list';
  const cards = lines.filter((line) => SPICE_CARD.test(line)).length;
  const rest = lines.slice(1).filter((line) => !/^\s*[*+;]/.test(line));
  const elements = rest.filter((line) => SPICE_ELEMENT.test(line));
  // A letter to somebody has such lines too, but no number in their first words.
  const isNumbered = elements.some((line) => /^[A-Z]\w*\d/i.test(line));
  if (cards > 0 || (isNumbered && 2 * elements.length >= rest.length)) return 'SPICE';
  return ending;
}

/** Bracketed expressions, XML and JSON are other netlists, and no lines of these. */
function isForeign(line: string): boolean {
  return /^\s*(\((export|netlist|kicad_)|<\?xml|\{\s*$|\[\s*$)/.test(line);
}

function rowsOf(head: readonly string[]): CsvRow[] {
  const text = head.slice(0, HEADER_WITHIN).join('\n');
  return text.length > 100_000 ? [] : readCsv(text, findSeparator(text)).slice(0, HEADER_WITHIN);
}
