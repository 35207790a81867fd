/** Reads a job record from its bytes, and tells a torn last line from damage further up. */
import { type Diagnostic, InputError, type Place } from '../board/diagnostic.ts';
import {
  type EventLine,
  type JobEvent,
  type JobOpening,
  jobOpening,
  type OpeningReader,
  readEventLine,
} from './event-line.ts';

/** A job record as the file holds it, every line checked. */
export type RawJob = RawRecord<JobOpening>;

/** A record as the file holds it, every line checked. */
export interface RawRecord<Opening> {
  readonly path: string;
  readonly opening: Opening;
  /** ISO time of the opening. */
  readonly openedAt: string;
  readonly events: readonly JobEvent[];
  /** A torn last line, told once; it is cut off by the next event. */
  readonly warnings: readonly Diagnostic[];
  /** Bytes up to the end of the last whole event. */
  readonly size: number;
  /** Lines up to there. */
  readonly lines: number;
  /** Sum of the last event. */
  readonly sum: string;
  /** True when the last event's line break did not reach the disk. */
  readonly owesBreak: boolean;
}

/** Lines gathered so far, with what is wrong. */
interface Progress<Opening> {
  readonly path: string;
  readonly readOpening: OpeningReader<Opening>;
  readonly events: JobEvent[];
  readonly faults: Diagnostic[];
  opening?: { readonly at: string; readonly open: Opening };
  /** Number expected next. */
  n: number;
  /** Sum of the line before; undefined after a line that could not be read. */
  sum: string | undefined;
}

/**
 * Reads a job's record.
 * @throws {InputError} naming every damaged line
 */
export function readRecord(bytes: Uint8Array, path: string): RawJob {
  return readRecordOf(bytes, path, jobOpening);
}

/**
 * Reads a record whose first line opens something else than a job.
 * @throws {InputError} naming every damaged line
 */
export function readRecordOf<Opening>(
  bytes: Uint8Array,
  path: string,
  readOpening: OpeningReader<Opening>,
): RawRecord<Opening> {
  const end = bytes.lastIndexOf(0x0a) + 1;
  const lines = decode(bytes.subarray(0, end)).split('\n').slice(0, -1);
  const progress: Progress<Opening> = { path, readOpening, events: [], faults: [], n: 1, sum: '' };
  for (const [at, text] of lines.entries()) takeLine(progress, text, at + 1);
  const tail = decode(bytes.subarray(end));
  const last = tail.trim() === '' ? undefined : readEventLine(tail, readOpening);
  // A line of a newer form is whole as well: it is refused, not cut off.
  const isWhole = last !== undefined && last !== 'not an event';
  if (isWhole) takeLine(progress, tail, lines.length + 1);
  const isDamaged = !isWhole && hasWholeEvent(tail, readOpening);
  if (isDamaged) takeLine(progress, tail, lines.length + 1);
  const isTorn = !isWhole && !isDamaged && tail !== '';
  return finish(progress, {
    warnings: isTorn ? [tornLine(path, lines.length + 1, tail)] : [],
    size: isWhole ? bytes.length : end,
    lines: lines.length + (isWhole ? 1 : 0),
    owesBreak: isWhole,
  });
}

/** A line cut short ends within its event: one with anything behind a whole event was damaged later. */
function hasWholeEvent<Opening>(tail: string, readOpening: OpeningReader<Opening>): boolean {
  const end = tail.lastIndexOf('}') + 1;
  if (end === 0 || end === tail.length) return false;
  return typeof readEventLine(tail.slice(0, end), readOpening) !== 'string';
}

function decode(bytes: Uint8Array): string {
  return new TextDecoder().decode(bytes);
}

function takeLine<Opening>(progress: Progress<Opening>, raw: string, line: number): void {
  const text = raw.replace(/\r$/u, '');
  // Blank lines and comments change nothing, so a person may add them.
  if (/^\s*(?:#|$)/u.test(text)) return;
  const event = readEventLine(text, progress.readOpening);
  if (typeof event === 'string') {
    addFault(progress, line, text, event === 'newer form' ? NEWER : notAnEvent(line));
    progress.n += 1;
    progress.sum = undefined;
    return;
  }
  checkOrder(progress, event, line, text);
  keep(progress, event, line);
  progress.n = event.body.n + 1;
  progress.sum = event.sum;
}

function keep<Opening>(
  progress: Progress<Opening>,
  { body }: EventLine<Opening>,
  line: number,
): void {
  if ('open' in body) progress.opening ??= body;
  else progress.events.push({ n: body.n, at: body.at, say: body.say, line });
}

function checkOrder<Opening>(
  progress: Progress<Opening>,
  event: EventLine<Opening>,
  line: number,
  text: string,
): void {
  const fault = orderFault(progress, event, line);
  if (fault !== undefined) addFault(progress, line, text, fault);
}

function orderFault<Opening>(
  progress: Progress<Opening>,
  event: EventLine<Opening>,
  line: number,
): Fault | undefined {
  const { n } = event.body;
  const isOpening = 'open' in event.body;
  if (isOpening !== (n === 1)) return notAnEvent(line);
  if (n !== progress.n) return outOfOrder(progress.n, n);
  if (progress.sum === undefined || event.isIntactAfter(progress.sum)) return undefined;
  return {
    code: 'CHANGED_EVENT',
    message: `event ${n} is not as it was written`,
    hint: `${FROM_COPY}; a mistake is taken back with undo, never by changing a line`,
  };
}

interface Fault {
  readonly code: string;
  readonly message: string;
  readonly hint?: string;
}

const FROM_COPY = 'put the line back from a copy';
const NEWER: Fault = {
  code: 'NEWER_RECORD',
  message: 'this line was written by a newer trace-short',
  hint: 'open the job with that version',
};

function notAnEvent(line: number): Fault {
  return { code: 'NOT_AN_EVENT', message: `line ${line} is not an event`, hint: FROM_COPY };
}

function outOfOrder(expected: number, found: number): Fault {
  if (found < expected) {
    return {
      code: 'EVENT_ORDER',
      message: `event ${found} stands after event ${expected - 1}`,
      hint: FROM_COPY,
    };
  }
  const range =
    found - expected > 1 ? `events ${expected} to ${found - 1} are` : `event ${expected} is`;
  return {
    code: 'EVENT_ORDER',
    message: `${range} missing before event ${found}`,
    hint: FROM_COPY,
  };
}

function addFault(
  progress: Pick<Progress<unknown>, 'path' | 'faults'>,
  line: number,
  text: string,
  fault: Fault,
): void {
  progress.faults.push({ ...fault, severity: 'error', place: placeOf(progress.path, line, text) });
}

function placeOf(file: string, line: number, text: string): Place {
  const column = text.length - text.trimStart().length + 1;
  return { file, line, column, endColumn: Math.max(column + 1, text.trimEnd().length + 1), text };
}

function tornLine(path: string, line: number, text: string): Diagnostic {
  return {
    code: 'TORN_LINE',
    severity: 'warning',
    message: 'the last line was cut off while it was written; it does not count',
    place: placeOf(path, line, text),
    hint: 'say it again if it is still wanted; every event before it stands',
  };
}

function finish<Opening>(
  progress: Progress<Opening>,
  rest: Pick<RawRecord<Opening>, 'warnings' | 'size' | 'lines' | 'owesBreak'>,
): RawRecord<Opening> {
  const { path, opening, events, faults, sum = '' } = progress;
  if (opening === undefined && faults.length === 0) {
    faults.push({
      code: 'NOT_A_JOB',
      severity: 'error',
      message: `"${path}" holds no whole event, so it is no job record`,
      hint: 'start a new job under another name',
    });
  }
  if (opening === undefined || faults.length > 0) throw new InputError(faults);
  return { path, opening: opening.open, openedAt: opening.at, events, sum, ...rest };
}
