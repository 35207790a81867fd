/**
 * The job record: an append-only file, one event a line. An event counts once its line is on the
 * disk; what the file holds is the whole truth, all else is derived from it.
 */
import { type Diagnostic, InputError } from '../board/diagnostic.ts';
import type { Board } from '../board/model.ts';
import type { Meter } from '../circuit/meter.ts';
import { figuresOf } from '../circuit/meter-figures.ts';
import { type Desk, NODE_DESK } from './disk.ts';
import { atBest, diskProblem, inWords } from './disk-problem.ts';
import {
  type EventBody,
  type JobEvent,
  type JobOpening,
  type JobPurpose,
  jobOpening,
  type OpeningReader,
  writeEventLine,
} from './event-line.ts';
import { type Lock, releaseLock, takeLock } from './lock.ts';
import type { MemoryFigures } from './memory/figures.ts';
import { type RawJob, type RawRecord, readRecord, readRecordOf } from './read-record.ts';
import type { DoubtFigures } from './shop/shop-figures.ts';

export type { JobEvent, JobPurpose } from './event-line.ts';
export type { RawJob } from './read-record.ts';

/** A job open for writing. */
export type JobHandle = RecordHandle<JobOpening>;

/** A record open for writing; only the functions of this file may touch its fields. */
export interface RecordHandle<Opening> {
  readonly path: string;
  /** The record as it was when the handle was made. */
  readonly job: RawRecord<Opening>;
  readonly desk: Desk;
  readonly lock: Lock;
  readonly fd: number;
  /** Bytes that are known to be on the disk. */
  size: number;
  /** Number, line and sum of the last event, and whether its line break is still owed. */
  n: number;
  line: number;
  sum: string;
  owesBreak: boolean;
  /** True when bytes past `size` may stand in the file, left by a write that failed. */
  hasTail: boolean;
  isOpen: boolean;
}

export interface JobOptions {
  /** Default `repair`. */
  readonly purpose?: JobPurpose;
  /** Kept in the record with all its figures; none: a common handheld. */
  readonly meter?: Meter;
  /** Doubts that differ from the defaults, kept in the record; see `changedDoubts`. */
  readonly doubts?: DoubtFigures;
  /** What past boards teach of this one, kept in the record. */
  readonly memory?: MemoryFigures;
  /** What a good board of the same kind read, as lines of the notation, kept in the record. */
  readonly reference?: readonly string[];
  /** Disk, clock and processes; the real ones when left out. */
  readonly desk?: Desk;
}

/**
 * Makes a new job for a board; the file must not exist. The opening is on the disk on return.
 * @throws {InputError}
 */
export function createJob(path: string, board: Board, options: JobOptions = {}): JobHandle {
  const { purpose = 'repair', meter, doubts, memory, reference, desk = NODE_DESK } = options;
  const { name, revision, file, digest } = board;
  const about = { board: name, ...(revision === undefined ? {} : { revision }), file, digest };
  const kept = {
    ...(meter === undefined ? {} : { meter: figuresOf(meter) }),
    ...(doubts === undefined ? {} : { doubts }),
    ...(memory === undefined ? {} : { memory }),
    ...(reference === undefined ? {} : { reference }),
  };
  return createRecord(path, { ...about, purpose, ...kept, version: 1 }, jobOpening, desk);
}

/**
 * Makes a new record; the file must not exist. The opening is on the disk on return.
 * @throws {InputError}
 */
export function createRecord<Opening>(
  path: string,
  open: Opening,
  readOpening: OpeningReader<Opening>,
  desk: Desk = NODE_DESK,
): RecordHandle<Opening> {
  const lock = takeLock(path, desk);
  try {
    const at = desk.now().toISOString();
    const { text } = writeEventLine({ n: 1, at, open }, '');
    return handleOf(path, desk, lock, makeFile(path, desk, text), readOpening);
  } catch (error) {
    releaseLock(lock);
    throw error;
  }
}

/**
 * Reads a job without locking it.
 * @throws {InputError} when it cannot be read, is no job, or a line before the last is damaged
 */
export function openJob(path: string, desk: Desk = NODE_DESK): RawJob {
  return readRecord(
    inWords(`cannot read "${path}"`, () => desk.disk.read(path)),
    path,
  );
}

/**
 * Opens a job for writing and holds its lock until {@link closeJob} or the end of the process.
 * @throws {InputError} as {@link openJob}, and when another run is writing it
 */
export function continueJob(path: string, desk: Desk = NODE_DESK): JobHandle {
  return continueRecord(path, jobOpening, desk);
}

/**
 * Opens any record for writing, as {@link continueJob} a job.
 * @throws {InputError}
 */
export function continueRecord<Opening>(
  path: string,
  readOpening: OpeningReader<Opening>,
  desk: Desk = NODE_DESK,
): RecordHandle<Opening> {
  const real = inWords(`cannot read "${path}"`, () => desk.disk.realPath(path));
  const lock = takeLock(real, desk);
  try {
    const fd = inWords(`cannot write "${path}"`, () => desk.disk.open(path, 'r+'));
    return handleOf(path, desk, lock, fd, readOpening);
  } catch (error) {
    releaseLock(lock);
    throw error;
  }
}

/**
 * Adds one event; it is on the disk when this returns.
 * @param say one line of the notation, already checked against the board
 * @throws {InputError} when it could not be written: then it does not count, and the events before
 *   it stand
 */
export function append(handle: RecordHandle<unknown>, say: string): JobEvent {
  const { path, desk } = handle;
  if (!handle.isOpen) throw new Error('the job is closed');
  const n = handle.n + 1;
  const at = desk.now().toISOString();
  const body: EventBody = { n, at, say };
  const { text, sum } = writeEventLine(body, handle.sum);
  try {
    checkUntouched(handle);
    addBytes(handle, handle.owesBreak ? `\n${text}` : text);
  } catch (error) {
    throw diskProblem(error, `event ${n} was not recorded in "${path}"`);
  }
  Object.assign(handle, { n, sum, line: handle.line + 1, owesBreak: false });
  return { n, at, say, line: handle.line };
}

/** Closes the file and gives the lock back. Closing twice does no harm. */
export function closeJob(handle: RecordHandle<unknown>): void {
  if (!handle.isOpen) return;
  handle.isOpen = false;
  atBest(() => handle.desk.disk.close(handle.fd));
  releaseLock(handle.lock);
}

function makeFile(path: string, { disk }: Desk, text: string): number {
  const doing = `cannot make "${path}"`;
  const fd = inWords(doing, () => disk.open(path, 'wx'));
  try {
    writeAll({ disk, fd }, text, 0);
    disk.sync(fd);
    disk.syncFolder(path);
    return fd;
  } catch (error) {
    atBest(() => disk.close(fd));
    atBest(() => disk.remove(path));
    throw diskProblem(error, doing);
  }
}

function handleOf<Opening>(
  path: string,
  desk: Desk,
  lock: Lock,
  fd: number,
  readOpening: OpeningReader<Opening>,
): RecordHandle<Opening> {
  try {
    const job = readRecordOf(
      inWords(`cannot read "${path}"`, () => desk.disk.read(path)),
      path,
      readOpening,
    );
    return {
      path,
      job,
      desk,
      lock,
      fd,
      size: job.size,
      n: 1 + job.events.length,
      line: job.lines,
      sum: job.sum,
      owesBreak: job.owesBreak,
      hasTail: job.warnings.length > 0,
      isOpen: true,
    };
  } catch (error) {
    atBest(() => desk.disk.close(fd));
    throw error;
  }
}

/** Refuses to write into a file that an editor has replaced or changed meanwhile. */
function checkUntouched(handle: RecordHandle<unknown>): void {
  const { path, desk, fd } = handle;
  const isSame =
    desk.disk.isSame(path, fd) && (handle.hasTail || desk.disk.size(fd) === handle.size);
  if (isSame) return;
  const fault: Diagnostic = {
    code: 'JOB_CHANGED',
    severity: 'error',
    message: `"${path}" was changed by another program while this job was open`,
    hint: 'close this run and open the job again',
  };
  throw new InputError([fault]);
}

/** After a failure the file is cut back, at once or before the next event. */
function addBytes(handle: RecordHandle<unknown>, text: string): void {
  const { disk } = handle.desk;
  if (handle.hasTail) disk.truncate(handle.fd, handle.size);
  handle.hasTail = true;
  try {
    const added = writeAll({ disk, fd: handle.fd }, text, handle.size);
    disk.sync(handle.fd);
    handle.size += added;
    handle.hasTail = false;
  } catch (error) {
    atBest(() => {
      disk.truncate(handle.fd, handle.size);
      handle.hasTail = false;
    });
    throw error;
  }
}

function writeAll(to: { disk: Desk['disk']; fd: number }, text: string, position: number): number {
  const bytes = new TextEncoder().encode(text);
  let done = 0;
  while (done < bytes.length) {
    const count = to.disk.write(to.fd, bytes.subarray(done), position + done);
    if (count <= 0) throw Object.assign(new Error('nothing written'), { code: 'EIO' });
    done += count;
  }
  return bytes.length;
}
