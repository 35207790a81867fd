import { contradiction, kindsOn, takes, takesOhms } from '../../board/grown-board.ts';
import { type End, type GrownValues, type Growth, VALUE_KEYS } from '../../board/growth.ts';
import type { Kind, Part } from '../../board/model.ts';
import { isReserved, NET_NAME, PART_NAME } from '../../board/names.ts';
import { nearest } from '../../board/nearest.ts';
import { findPart, findPin, findPoint } from '../points.ts';
import { fail, type Resolving } from '../resolving.ts';
import { splitWords, type Word } from '../words.ts';
import { printGrowth } from './print.ts';
import type { ScannedEnd, ScannedGrowth, ScannedPin } from './scan.ts';
import { readWhat } from './what.ts';

/**
 * A statement with its names as the board writes them.
 * @param isStrict refuses what the board has otherwise, unless it is said as a correction
 */
export function resolveGrowth(
  reading: Resolving,
  scanned: ScannedGrowth,
  isStrict: boolean,
): Growth | undefined {
  const growth = named(reading, scanned);
  if (growth === undefined || !isStrict) return growth;
  const against = contradiction(reading.board, growth);
  if (against === undefined) return growth;
  const corrected = printGrowth({ ...growth, instead: true });
  const link = growth.do === 'goes' ? '; if the two nets are one by copper, link them' : '';
  const hint = `if the board file is wrong, say so: ${corrected}${link}`;
  return fail(
    reading,
    splitWords(reading.line.text),
    'CONTRADICTS',
    `the board has it otherwise: ${against}`,
    hint,
  );
}

function named(reading: Resolving, scanned: ScannedGrowth): Growth | undefined {
  if (scanned.do === 'is') return resolveIs(reading, scanned);
  if (scanned.do === 'goes') return resolveGoes(reading, scanned);
  const { board } = reading;
  const known = board.partNamed.get(scanned.part.text);
  const part =
    known?.name ?? looseName(reading, scanned.part.text) ?? newName(reading, scanned.part);
  const [a, b] = scanned.ends.map((end) => resolveEnd(reading, end));
  if (part === undefined || a === undefined || b === undefined) return undefined;
  const words = scanned.ends.flatMap((end) => end.words);
  if (known !== undefined && known.pins.length > 2) {
    return fail(
      reading,
      [scanned.part],
      'NO_LINK',
      `${known.name} has ${known.pins.length} pins and is no link`,
    );
  }
  if (a.net === b.net)
    return fail(reading, words, 'SAME_NET', 'both ends are one net', 'name two nets');
  return { do: 'joins', part, ends: [a, b], instead: scanned.instead };
}

function resolveGoes(
  reading: Resolving,
  { pin, to, instead }: Extract<ScannedGrowth, { do: 'goes' }>,
): Growth | undefined {
  const end = resolveEnd(reading, to);
  const own = ownPin(reading, pin);
  if (own === undefined || end === undefined) return undefined;
  return { do: 'goes', part: own.part.name, pin: own.pin, to: end, instead };
}

/** A pin the part has; or a new one of a part that names its own pins. */
function ownPin(
  reading: Resolving,
  { text, words }: ScannedPin,
): { part: Part; pin: string } | undefined {
  const { board, line } = reading;
  const [first] = words;
  if (first === undefined) return undefined;
  const word = { text, column: first.column };
  const dot = text.indexOf('.');
  if (dot <= 0) {
    const message = `"${text}" is no pin`;
    return fail(
      reading,
      words,
      'NO_PIN',
      message,
      `name the part and its pin: ${text}.1 goes to …`,
    );
  }
  const name = text.slice(0, dot);
  const found = findPart(board, line, { text: name, column: first.column });
  if ('fault' in found) {
    const hint =
      `${found.fault.hint ?? ''} a part the board file lacks is told first: ${name} is a diode`.trim();
    reading.faults.push({ ...found.fault, hint });
    return undefined;
  }
  const part = found.ok;
  const pin = findPin(board, line, word);
  if ('ok' in pin) return { part, pin: pin.ok.name };
  if (part.kind.pins.length > 0) {
    reading.faults.push(pin.fault);
    return undefined;
  }
  const isName = new RegExp(PART_NAME.pattern ?? '', 'u').test(text.slice(dot + 1));
  if (isName) return { part, pin: text.slice(dot + 1) };
  return fail(reading, words, 'BAD_NAME', `"${text.slice(dot + 1)}" cannot be the name of a pin`);
}

function resolveEnd(reading: Resolving, { text, words, isNew }: ScannedEnd): End | undefined {
  const { board, line } = reading;
  const [first] = words;
  if (first === undefined) return undefined;
  const found = findPoint(board, line, { text, column: first.column });
  if ('ok' in found) {
    return { net: board.nets[found.ok.net]?.name ?? text, isNew: false };
  }
  if (isNew) {
    const isName = new RegExp(NET_NAME.pattern ?? '', 'u').test(text) && words.length === 1;
    const isTaken = board.partNamed.has(text) || board.partNamed.has(text.split('.')[0] ?? '');
    if (isName && !isTaken) return { net: text, isNew };
    return fail(reading, words, 'BAD_NAME', `"${text}" cannot be the name of a new net`);
  }
  const hint = [found.fault.hint, `a net the board file lacks is said so: new ${text}`];
  reading.faults.push({ ...found.fault, hint: hint.filter(Boolean).join('; ') });
  return undefined;
}

function resolveIs(
  reading: Resolving,
  { part: word, what, instead }: Extract<ScannedGrowth, { do: 'is' }>,
): Growth | undefined {
  const { board } = reading;
  const known =
    board.partNamed.get(word.text) ?? board.partNamed.get(looseName(reading, word.text) ?? '');
  const kinds = kindsOn(board);
  const read = readWhat(what, kinds, known?.kind);
  if ('fault' in read) {
    const { code, message, hint } = read.fault;
    return fail(reading, what, code, message, hint);
  }
  const name = known?.name ?? newName(reading, word);
  if (name === undefined) return undefined;
  const { values, ...told } = read;
  const kind = kinds.get(told.kind ?? '') ?? known?.kind;
  if (kind === undefined) {
    const hint = `say what it is: ${name} is a ceramic ${what.map((each) => each.text).join(' ')}`;
    return fail(reading, what, 'NO_KIND', `the board has no part ${name} yet`, hint);
  }
  const misfit = misfits(kind, values, known, told.kind !== undefined);
  if (misfit !== undefined) return fail(reading, what, 'BAD_VALUE', misfit.message, misfit.hint);
  return { do: 'is', part: name, ...told, ...values, instead };
}

function misfits(
  kind: Kind,
  values: GrownValues,
  known: Part | undefined,
  isKindTold: boolean,
): { message: string; hint: string } | undefined {
  for (const key of VALUE_KEYS) {
    if (values[key] !== undefined && !takes(kind, key)) {
      return {
        message: `a ${kind.title} has no ${key}`,
        hint: 'leave the value out, or say another kind',
      };
    }
  }
  const isBare = takesOhms(kind) && kind.value === 'ohms' && kind.typicalOhms === undefined;
  if (isKindTold && isBare && values.ohms === undefined && known?.ohms === undefined) {
    const hint = `e.g. is a ${kind.name} 4.7 kohm; where nobody can tell, is an unknown ${kind.name}`;
    return { message: `a ${kind.title} needs its ohms`, hint };
  }
  const isTooFew = kind.pins.length > 0 && (known?.pins.length ?? 0) > kind.pins.length;
  if (!isKindTold || !isTooFew) return undefined;
  const message = `${known?.name} has ${known?.pins.length} pins, a ${kind.title} has ${kind.pins.length}`;
  return { message, hint: 'a kind with other pins is put into the board file by hand' };
}

/** Any letter case, where one part alone fits. */
function looseName({ board }: Resolving, text: string): string | undefined {
  const same = board.parts.filter(({ name }) => name.toLowerCase() === text.toLowerCase());
  return same.length === 1 ? same[0]?.name : undefined;
}

/** A name that a new part may have. */
function newName(reading: Resolving, { text, column }: Word): string | undefined {
  const { board } = reading;
  const isName = new RegExp(PART_NAME.pattern ?? '', 'u').test(text) && !isReserved(text);
  const isTaken = board.netNamed.has(text);
  if (isName && !isTaken && /\d|^[A-Z]{1,4}$/.test(text)) return text;
  const near = nearest(text, board.partNamed.keys());
  const message = isTaken
    ? `"${text}" is a net of the board, and cannot be a part`
    : `"${text}" cannot be the name of a part`;
  const hint =
    near === undefined ? 'a part goes by its designator, e.g. D7' : `did you mean "${near}"?`;
  return fail(reading, [{ text, column }], 'BAD_NAME', message, hint);
}
