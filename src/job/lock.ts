/** One writer for each job: a file beside the record says who holds it. */
import { InputError } from '../board/diagnostic.ts';
import { type Desk, errorCode } from './disk.ts';
import { atBest, inWords } from './disk-problem.ts';

/** Who holds a job. */
interface Holder {
  readonly pid: number;
  readonly host: string;
  /** ISO time. */
  readonly since: string;
}

/** A lock that is held; give it back with {@link releaseLock}. */
export interface Lock {
  readonly path: string;
  readonly text: string;
  readonly desk: Desk;
}

const held = new Set<Lock>();
let willReleaseAtExit = false;

/**
 * Takes the lock of a job. A lock whose process has died, or whose host was started since, is
 * taken over.
 * @throws {InputError} when another run holds it, naming that run, or the folder cannot be written
 */
export function takeLock(job: string, desk: Desk): Lock {
  const path = `${job}.lock`;
  const holder: Holder = { pid: desk.processId, host: desk.host, since: desk.now().toISOString() };
  const lock: Lock = { path, text: `${JSON.stringify(holder)}\n`, desk };
  for (let attempt = 0; attempt < 3; attempt++) {
    if (inWords(`cannot lock "${job}"`, () => isMade(lock))) return remember(lock);
    const text = inWords(`cannot read "${path}"`, () => textOf(desk, path));
    if (text === undefined) continue;
    if (!isStale(readHolder(text), desk)) throw refusal(job, path, readHolder(text));
    inWords(`cannot take over "${path}"`, () => setAside(desk, path, text));
  }
  throw refusal(job, path, undefined);
}

/** Gives the lock back, unless someone else has taken it over. Never throws for the disk. */
export function releaseLock(lock: Lock): void {
  held.delete(lock);
  atBest(() => {
    if (textOf(lock.desk, lock.path) === lock.text) lock.desk.disk.remove(lock.path);
  });
}

function remember(lock: Lock): Lock {
  if (!willReleaseAtExit) process.on('exit', releaseAll);
  willReleaseAtExit = true;
  held.add(lock);
  return lock;
}

function releaseAll(): void {
  for (const lock of held) releaseLock(lock);
}

function isMade({ path, text, desk }: Lock): boolean {
  let fd: number;
  try {
    fd = desk.disk.open(path, 'wx');
  } catch (error) {
    if (errorCode(error) === 'EEXIST') return false;
    throw error;
  }
  try {
    desk.disk.write(fd, new TextEncoder().encode(text), 0);
    // An empty lock after a power cut could not be judged.
    desk.disk.sync(fd);
  } catch (error) {
    atBest(() => desk.disk.remove(path));
    throw error;
  } finally {
    atBest(() => desk.disk.close(fd));
  }
  return true;
}

function textOf(desk: Desk, path: string): string | undefined {
  try {
    return new TextDecoder().decode(desk.disk.read(path));
  } catch (error) {
    if (errorCode(error) === 'ENOENT') return undefined;
    throw error;
  }
}

const LONGEST_LOCK = 1000;

function readHolder(text: string): Holder | undefined {
  // A lock is one short line; anything else says nothing of who holds the job.
  if (text.length > LONGEST_LOCK) return undefined;
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch {
    return undefined;
  }
  if (typeof value !== 'object' || value === null) return undefined;
  const { pid, host, since } = value as Partial<Record<keyof Holder, unknown>>;
  if (typeof pid !== 'number' || typeof host !== 'string') return undefined;
  return { pid, host, since: typeof since === 'string' ? since : '' };
}

function isStale(holder: Holder | undefined, desk: Desk): boolean {
  // A lock on another host, or one still being written, cannot be judged from here.
  if (holder === undefined || holder.host !== desk.host) return false;
  if (Date.parse(holder.since) < desk.startedAtMs() - 1000) return true;
  return !desk.isRunning(holder.pid);
}

/** Moving the lock away is the one step only one of several runs can win. */
function setAside(desk: Desk, path: string, text: string): void {
  const aside = `${path}.${desk.processId}`;
  try {
    desk.disk.rename(path, aside);
  } catch (error) {
    if (errorCode(error) === 'ENOENT') return;
    throw error;
  }
  // Another run may have taken over between our look and our move: then it is theirs.
  if (textOf(desk, aside) === text) atBest(() => desk.disk.remove(aside));
  else desk.disk.rename(aside, path);
}

function refusal(job: string, path: string, holder: Holder | undefined): InputError {
  const who =
    holder === undefined
      ? 'another run'
      : `another run (process ${holder.pid} on ${holder.host}, since ${holder.since})`;
  const message = `"${job}" is being written by ${who}`;
  const hint = `close that run first; if it is surely gone, delete "${path}"`;
  return new InputError([{ code: 'JOB_HELD', severity: 'error', message, hint }]);
}
