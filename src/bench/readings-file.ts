/** Saved readings: lines of the notation, a YAML list of them, or a whole job record. */
import { type Diagnostic, InputError } from '../board/diagnostic.ts';
import type { Board } from '../board/model.ts';
import { admit, boardOf, type DerivedJob, deriveJob, extendJob, takeBack } from '../job/derive.ts';
import type { JobEvent } from '../job/event-line.ts';
import { Standing } from '../job/history.ts';
import { checkBoard } from '../job/match-board.ts';
import { printPoint } from '../job/points.ts';
import { readRecord } from '../job/read-record.ts';
import type { SavedReading } from '../job/saved-reading.ts';
import type { Say } from '../job/say.ts';
import { type Scanned, scanSay } from '../job/scan.ts';
import { changesBoard } from '../job/state-after.ts';
import { lineOf, type SayPlace } from '../job/words.ts';
import { type Entry, entriesOf, firstLine } from './entries.ts';

/** A readings file, read. */
export interface ReadingsFile {
  readonly file: string;
  readonly form: 'lines' | 'list' | 'job';
  /** What was read, in order; what a job took back is left out. */
  readonly readings: readonly SavedReading[];
  /** Every line as an event; the numbers of a job are its own, others count from 1. */
  readonly events: readonly JobEvent[];
  readonly warnings: readonly Diagnostic[];
}

/** Where the reading of an evidence's id was said. */
export interface Source {
  readonly file: string;
  readonly line: number;
  readonly say: string;
}

/**
 * Reads a readings file. Without a board the points stay words, and only their form is checked.
 * @throws {InputError} with every fault of the file
 */
export function readReadings(text: string, file: string, board?: Board): ReadingsFile {
  const plain = text.replace(/^\ufeff/u, '');
  if (/^- *\{ *"?n"? *:/u.test(firstLine(plain))) return readJob(plain, file, board);
  const { form, entries } = entriesOf(plain, file, board);
  return board === undefined ? readWords(form, entries, file) : readFor(board, form, entries, file);
}

/**
 * Joins readings files about one board, in order, as if they were one job. A current that a file leaves
 * on ends with it: what the next file says in volts was read without.
 * @returns the job, and where each event of it came from
 */
export function joinReadings(
  board: Board,
  files: readonly ReadingsFile[],
): { derived: DerivedJob; sources: ReadonlyMap<number, Source> } {
  const sources = new Map<number, Source>();
  const events = files.flatMap((one, index) => {
    const isLast = index === files.length - 1;
    const own = isLast || !leavesInjecting(board, one) ? one.events : [...one.events, ENDED];
    return own.map((event) => {
      const n = sources.size + 1;
      sources.set(n, { file: one.file, line: event.line, say: event.say });
      return { ...event, n };
    });
  });
  return { derived: deriveJob(board, events), sources };
}

const ENDED: JobEvent = { n: 0, at: '', say: 'inject off', line: 0 };

function leavesInjecting(board: Board, { events, file }: ReadingsFile): boolean {
  if (!events.some(({ say }) => /^\s*inject\b/iu.test(say))) return false;
  return deriveJob(board, events, file).evidence.injection !== undefined;
}

function readJob(text: string, file: string, board: Board | undefined): ReadingsFile {
  const job = readRecord(new TextEncoder().encode(text), file);
  if (board === undefined) {
    const { standing } = takeBack(job.events);
    const scanned = scanAll(
      standing.map((event) => ({ event, place: { file, line: event.line } })),
    );
    return {
      file,
      form: 'job',
      readings: inWords(scanned, file),
      events: job.events,
      warnings: job.warnings,
    };
  }
  const found = checkBoard(job, board);
  const errors = found.filter((fault) => fault.severity === 'error');
  if (errors.length > 0) throw new InputError(errors);
  const derived = deriveJob(board, job.events, file);
  return {
    file,
    form: 'job',
    readings: inNumbers(boardOf(board, derived), derived, file),
    events: job.events,
    warnings: [...job.warnings, ...found],
  };
}

/**
 * Every line taken apart, in the order they were said: what volts are depends on whether a current
 * was injected by then, and an `undo` takes that back too, until a `redo` brings it back.
 * @throws {InputError} with every fault
 */
function scanAll(lines: readonly { event: JobEvent; place: SayPlace }[]): Said[] {
  const faults: Diagnostic[] = [];
  // By line that still stands: whether a current is injected after it.
  const injecting = new Standing<boolean>();
  const all = lines.flatMap(({ event, place }) => {
    const isInjecting = injecting.items.at(-1) ?? false;
    const said = scan(event, place, { isInjecting, faults });
    if (said?.do === 'undo') injecting.takeBack(said.count);
    else if (said?.do === 'redo') injecting.bringBack(said.count);
    else injecting.add(said?.do === 'inject' || (isInjecting && said?.do !== 'inject-off'));
    return said === undefined ? [] : [{ event, said }];
  });
  if (faults.length > 0) throw new InputError(faults);
  return all;
}

function scan(
  event: JobEvent,
  place: SayPlace,
  { isInjecting, faults }: { isInjecting: boolean; faults: Diagnostic[] },
): Scanned | undefined {
  try {
    return scanSay(lineOf(event.say, place), undefined, isInjecting);
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    faults.push(...error.diagnostics);
    return undefined;
  }
}

interface Said {
  readonly event: JobEvent;
  readonly said: Scanned;
}

function readWords(form: 'lines' | 'list', entries: readonly Entry[], file: string): ReadingsFile {
  const events = entries.map(eventOf);
  const scanned = scanAll(
    entries.map((entry, at) => ({ event: eventOf(entry, at), place: entry.place })),
  );
  const standing = new Set(takeBack(events).standing.map((event) => event.n));
  const readings = inWords(
    scanned.filter(({ event }) => standing.has(event.n)),
    file,
  );
  return { file, form, readings, events, warnings: nothingRead(readings, file) };
}

function readFor(
  board: Board,
  form: 'lines' | 'list',
  entries: readonly Entry[],
  file: string,
): ReadingsFile {
  const faults: Diagnostic[] = [];
  let derived = deriveJob(board, [], file);
  for (const [at, entry] of entries.entries()) {
    try {
      admit(board, derived, entry.text, entry.place);
      derived = extendJob(board, derived, eventOf(entry, at), file);
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      faults.push(...error.diagnostics);
    }
  }
  if (faults.length > 0) throw new InputError(faults);
  const readings = inNumbers(boardOf(board, derived), derived, file);
  return {
    file,
    form,
    readings,
    events: derived.history.events,
    warnings: nothingRead(readings, file),
  };
}

function eventOf(entry: Entry, at: number): JobEvent {
  return { n: at + 1, at: '', say: entry.text, line: entry.place.line };
}

function nothingRead(readings: readonly SavedReading[], file: string): Diagnostic[] {
  if (readings.length > 0) return [];
  const message = `"${file}" holds no reading`;
  return [
    { code: 'NO_READINGS', severity: 'warning', message, hint: 'a reading is e.g. P48 GND beep' },
  ];
}

function inWords(all: readonly Said[], file: string): SavedReading[] {
  return withEpochs(
    all,
    ({ said }) => said,
    ({ event, said }, epoch) => {
      if (said.do !== 'read') return [];
      const { red, black, off, meter } = said;
      const where = {
        red: red.text,
        black: black.text,
        ...(off === undefined ? {} : { off: off.text }),
      };
      return [{ ...where, ...meter, file, line: event.line, epoch }];
    },
  );
}

function inNumbers(board: Board, derived: DerivedJob, file: string): SavedReading[] {
  return withEpochs(
    derived.active,
    ({ say }) => say,
    ({ event, say }, epoch) => {
      if (say.do !== 'read') return [];
      const { reading } = say;
      const { mode, value } = reading;
      return [{ ...pointNames(board, say), mode, value, file, line: event.line, epoch, reading }];
    },
  );
}

function pointNames(
  board: Board,
  { reading }: Extract<Say, { do: 'read' }>,
): Pick<SavedReading, 'red' | 'black' | 'off'> {
  const part = reading.offPart === undefined ? undefined : board.parts[reading.offPart];
  if (part === undefined) {
    return { red: printPoint(board, reading.red), black: printPoint(board, reading.black) };
  }
  const leg = (pin = -1): string => board.pins[pin]?.name ?? '?';
  return { red: leg(reading.red.pin), black: leg(reading.black.pin), off: part.name };
}

/** Counts the changes to the board on the way through what was said. */
function withEpochs<T>(
  all: readonly T[],
  saidOf: (one: T) => { readonly do: Say['do'] },
  take: (one: T, epoch: number) => SavedReading[],
): SavedReading[] {
  let epoch = 0;
  return all.flatMap((one) => {
    if (changesBoard(saidOf(one))) epoch += 1;
    return take(one, epoch);
  });
}
