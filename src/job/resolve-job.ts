/** Names in lines about the job as a whole, turned into board numbers. */
import type { Rail } from '../board/model.ts';
import { nearest } from '../board/nearest.ts';
import { findPart, findPin, findPoint, listed } from './points.ts';
import { distinct, fail, partsOf, type Resolving, take } from './resolving.ts';
import type { SayOfJob } from './say.ts';
import type { ScannedOfJob } from './scan-job.ts';
import type { Word } from './words.ts';

/** The line with its names looked up; nothing, and faults kept, when one is unknown. */
export function resolveOfJob(reading: Resolving, scanned: ScannedOfJob): SayOfJob | undefined {
  switch (scanned.do) {
    case 'photo':
      return resolvePhoto(reading, scanned);
    case 'residual':
    case 'powered':
      return resolveVolts(reading, scanned);
    case 'tick': {
      const { names, item } = scanned;
      return { do: 'tick', parts: distinct(reading, names, partsOf(reading, names)), item };
    }
    case 'isolation':
    case 'temp': {
      const part = take(reading, findPart(reading.board, reading.line, scanned.part));
      return part && { ...scanned, part: part.index };
    }
    case 'at': {
      const { name, ...place } = scanned;
      const { board, line } = reading;
      if (!name.text.includes('.')) {
        const part = take(reading, findPart(board, line, name));
        return part && { ...place, part: part.index };
      }
      const pin = take(reading, findPin(board, line, name));
      return pin && { ...place, part: pin.part, pin: pin.index };
    }
    case 'draws': {
      const rail = railOf(reading, scanned.rail);
      return rail && { do: 'draws', rail: reading.board.rails.indexOf(rail), amps: scanned.amps };
    }
    default:
      return scanned;
  }
}

/** A word after the file that names a part or pin ties the photo to it; else it is text. */
function resolvePhoto(
  { board, line }: Resolving,
  { file, rest }: Extract<ScannedOfJob, { do: 'photo' }>,
): SayOfJob {
  const [name, next] = rest;
  if (name === undefined) return { do: 'photo', file };
  const found = name.text.includes('.') ? findPin(board, line, name) : findPart(board, line, name);
  if ('fault' in found) return { do: 'photo', file, text: textFrom(line.text, name) };
  const { ok } = found;
  const at = 'part' in ok ? { part: ok.part, pin: ok.index } : { part: ok.index };
  return { do: 'photo', file, ...at, ...(next ? { text: textFrom(line.text, next) } : {}) };
}

function textFrom(line: string, word: Word): string {
  return line.slice(word.column).trim();
}

function resolveVolts(
  reading: Resolving,
  said: Extract<ScannedOfJob, { do: 'residual' | 'powered' }>,
): SayOfJob | undefined {
  const { board, line } = reading;
  const red = take(reading, findPoint(board, line, said.red));
  const black = take(reading, findPoint(board, line, said.black));
  if (red === undefined || black === undefined) return undefined;
  if (red.net !== black.net) return { do: said.do, red, black, volts: said.volts };
  const message = `"${said.red.text}" and "${said.black.text}" are one net`;
  const hint = 'name two points between which a voltage can stand';
  return fail(reading, [said.red, said.black], 'SAME_POINT', message, hint);
}

function railOf({ board, line, faults }: Resolving, words: readonly Word[]): Rail | undefined {
  const name = words.map((word) => word.text).join(' ');
  const plain = (text: string): string => text.split(/\s+/u).join(' ').toLowerCase();
  const same = board.rails.filter((rail) => plain(rail.name) === plain(name));
  const found = same.find((rail) => rail.name === name) ?? same[0];
  if (found !== undefined) return found;
  const names = board.rails.map((rail) => rail.name);
  const meant = nearest(name, names);
  const known = names.length === 0 ? 'the board file names no rail' : `rails are ${listed(names)}`;
  const hint = meant === undefined ? known : `did you mean "${meant}"?`;
  const message = `no rail is called "${name}"`;
  return fail({ board, line, faults }, words, 'UNKNOWN_RAIL', message, hint);
}
