import { createHash } from 'node:crypto';
import { existsSync, readFileSync } from 'node:fs';
import { type Diagnostic, InputError } from '../../board/diagnostic.ts';
import { loadBoard } from '../../board/load.ts';
import { partListOf } from '../../board/part-list/from-board.ts';
import type { PartList } from '../../board/part-list/part-list.ts';
import { readList } from '../../board/part-list/read-list.ts';
import { COMMON_HANDHELD, type Meter } from '../../circuit/meter.ts';
import { figuresOf, meterFrom } from '../../circuit/meter-figures.ts';
import { mappedBoardText } from '../../job/mapping/board-text.ts';
import { type MapOpening, mapOpening, openingOf } from '../../job/mapping/map-record.ts';
import { type MapSay, parseMapSay, printMapSay } from '../../job/mapping/say.ts';
import { MapSession, namesOf } from '../../job/mapping/session.ts';
import {
  append,
  closeJob,
  continueRecord,
  createRecord,
  type RecordHandle,
} from '../../job/record.ts';
import type { Context } from '../context.ts';
import { readText, writeWhole } from '../files.ts';

/** A map with its record open for writing. */
export interface MapWork {
  readonly session: MapSession;
  readonly record: string;
  /** The meter the map was begun with. */
  readonly meter: Meter;
  readonly warnings: readonly Diagnostic[];
  /** True when the record was there already. */
  readonly isResumed: boolean;
  /**
   * Records lines: all of them or, when one cannot be read, none.
   * @throws {InputError}
   */
  say(lines: readonly string[]): void;
  /** Writes the board file as far as it is known. */
  write(): void;
  close(): void;
}

export interface MapCall {
  /** The list of parts. */
  readonly path: string;
  readonly bom?: string;
  /** The board file to write. */
  readonly out: string;
  readonly overwrite: boolean;
  readonly meter?: Meter;
}

/** Where the record of a map lies: beside the board file it leads to. */
export function recordOf(out: string): string {
  return `${out.replace(/\.ya?ml$/i, '')}.map`;
}

/**
 * Opens a map, or begins one.
 * @throws {InputError} when the list cannot be read, the record belongs to another list or is held
 *   by another run, or the board file is there and is none this map wrote
 */
export async function openMap(context: Context, call: MapCall): Promise<MapWork> {
  const list = await listAt(context, call);
  const record = recordOf(call.out);
  const isResumed = existsSync(record);
  if (!isResumed && existsSync(call.out) && !call.overwrite) throw outThere(call.out);
  const handle = isResumed
    ? continueRecord(record, mapOpening)
    : createRecord(record, openingOf(list, call.path, figures(call.meter)), mapOpening);
  try {
    return workOn(handle, list, call, isResumed);
  } catch (error) {
    closeJob(handle);
    throw error;
  }
}

function figures(meter: Meter | undefined) {
  return meter === undefined ? undefined : figuresOf(meter);
}

async function listAt(context: Context, { path, bom }: MapCall): Promise<PartList> {
  const text = await readText(path, context);
  if (/\.ya?ml$/i.test(path) || /^(board|parts):/mu.test(text)) {
    const { board, warnings } = loadBoard(text, path);
    return { ...partListOf(board, text), warnings };
  }
  const beside = bom === undefined ? undefined : { text: await readText(bom, context), file: bom };
  return readList(text, path, beside);
}

function workOn(
  handle: RecordHandle<MapOpening>,
  list: PartList,
  call: MapCall,
  isResumed: boolean,
): MapWork {
  const { job } = handle;
  const meter = meterFrom(job.opening.meter) ?? COMMON_HANDHELD;
  const names = namesOf(list);
  const events = job.events.map(({ n, say }) => ({ n, say: parseMapSay(say, names) }));
  const session = new MapSession(list, meter, events);
  const changed = job.opening.digest !== list.digest ? [listChanged(call.path)] : [];
  // What a hand changed in the file since is not written over unasked.
  const written = new Set(events.flatMap(({ say }) => (say.do === 'wrote' ? [say.digest] : [])));
  if (isResumed && existsSync(call.out) && !call.overwrite) {
    if (!written.has(digestOf(readFileSync(call.out, 'utf8')))) throw outChanged(call.out);
  }
  const record = (say: MapSay): void => {
    const { n } = append(handle, printMapSay(say));
    session.take({ n, say });
  };
  return {
    session,
    record: handle.path,
    meter,
    warnings: [...list.warnings, ...job.warnings, ...changed],
    isResumed,
    say(lines) {
      const says = lines.map((line) => parseMapSay(line, session.names));
      for (const each of says) record(each);
    },
    write() {
      const text = mappedBoardText(session);
      const digest = digestOf(text);
      // Recorded first: a file that was written and is not known would be refused.
      if (!written.has(digest)) record({ do: 'wrote', digest });
      written.add(digest);
      writeWhole(call.out, text, true);
    },
    close: () => closeJob(handle),
  };
}

function digestOf(text: string): string {
  return createHash('sha256').update(text).digest('hex').slice(0, 16);
}

function outThere(path: string): InputError {
  return refusal(
    `"${path}" is there already, and no map that leads to it`,
    'name another file, or say --overwrite',
  );
}

function outChanged(path: string): InputError {
  return refusal(
    `"${path}" is not as this map left it`,
    'map on to another file, or say --overwrite to lose what was changed',
  );
}

function refusal(message: string, hint: string): InputError {
  return new InputError([{ code: 'FILE', severity: 'error', message, hint }]);
}

function listChanged(path: string): Diagnostic {
  return {
    code: 'LIST_CHANGED',
    severity: 'warning',
    message: `"${path}" has changed since this map was begun`,
    hint: 'what was read still counts for the points it names',
  };
}
