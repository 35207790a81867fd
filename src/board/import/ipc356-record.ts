/** Fields of one IPC-D-356 test record (317, 327, 307), by their fixed columns. */
export interface TestRecord {
  /** As written, before long-name aliases are resolved; `''` when blank. */
  readonly net: string;
  readonly part: string;
  readonly pin: string;
  readonly drilled: boolean;
  /** Side or layer digits: `00` both, `01` top, `''` when blank. */
  readonly access: string;
  /** In the file's units; undefined when missing or unreadable. */
  readonly x?: number;
  readonly y?: number;
}

const NET_START = 3;
const NET_END = 17;
const PART_START = 20;
const DASH = 26;
const PLACE_START = 41;

/** No designator pushes X further than this; what follows is not looked at. */
const LONGEST_RECORD = 400;

/** X and Y, each a sign and up to six digits with leading zeros left out or blank. */
const PLACE = /X([+\- ]? *\d{1,6}) *Y([+\- ]? *\d{1,6})/;

/**
 * Cuts a record at its columns. A designator longer than its six columns either is cut by the
 * writer or pushes the rest of the line to the right; the latter shows in where X stands. A net
 * longer than its columns does the same, and shows in the three columns behind it that are blank.
 */
export function readTestRecord(line: string): TestRecord {
  const place = PLACE.exec(line.slice(PART_START, LONGEST_RECORD));
  const shift = place ? shiftOf(line, PART_START + place.index - PLACE_START) : dashShift(line);
  const access = /^A(\d\d)$/.exec(line.slice(38 + shift, 41 + shift));
  const netEnd = endOfNet(line, shift);
  const record = {
    net: line.slice(NET_START, netEnd).trim(),
    part: line.slice(Math.max(PART_START, netEnd), DASH + shift).trim(),
    pin: line.slice(DASH + 1 + shift, 31 + shift).trim(),
    drilled: line[32 + shift] === 'D',
    access: access?.[1] ?? '',
  };
  if (!place) return record;
  return { ...record, x: coordinate(place[1] ?? ''), y: coordinate(place[2] ?? '') };
}

function endOfNet(line: string, shift: number): number {
  if (line.slice(NET_END, PART_START).trim() === '') return NET_END;
  const blank = line.indexOf(' ', NET_START);
  return Math.min(blank < 0 ? line.length : blank, PART_START + shift);
}

/** The shift counts only when the dash before the pin moved along; else just X is out of place. */
function shiftOf(line: string, moved: number): number {
  return moved > 0 && line[DASH] !== '-' && line[DASH + moved] === '-' ? moved : 0;
}

/** For a line cut short before X: the dash itself, wherever it is, unless column 27 is blank. */
function dashShift(line: string): number {
  if (line[DASH] === '-' || (line[DASH] ?? ' ') === ' ') return 0;
  const dash = line.indexOf('-', DASH);
  return dash < 0 ? 0 : dash - DASH;
}

function coordinate(digits: string): number {
  return Number(digits.replaceAll(' ', ''));
}
