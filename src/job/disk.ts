/** The few file calls the record needs, so that a test can make any one of them fail. */
import {
  closeSync,
  fstatSync,
  fsyncSync,
  ftruncateSync,
  openSync,
  readFileSync,
  realpathSync,
  renameSync,
  statSync,
  unlinkSync,
  writeSync,
} from 'node:fs';
import { hostname, uptime } from 'node:os';
import { dirname } from 'node:path';

/** All calls throw Node's system errors, with a `code`. */
export interface Disk {
  /** `wx` makes a file that must not exist, `r+` opens one to write at given places. */
  open(path: string, flags: 'wx' | 'r+'): number;
  read(path: string): Uint8Array;
  /** Gives how many bytes were written, perhaps fewer than asked. */
  write(fd: number, bytes: Uint8Array, position: number): number;
  /** Returns once the file's bytes are on the disk. */
  sync(fd: number): void;
  /** Returns once the folder that holds `path` has the file's name on the disk. */
  syncFolder(path: string): void;
  truncate(fd: number, size: number): void;
  size(fd: number): number;
  /** True when `path` still names the open file. */
  isSame(path: string, fd: number): boolean;
  close(fd: number): void;
  rename(from: string, to: string): void;
  remove(path: string): void;
  realPath(path: string): string;
}

/** What the record needs of the world around it. */
export interface Desk {
  readonly disk: Disk;
  now(): Date;
  readonly processId: number;
  readonly host: string;
  /** When this host started, ms since 1970: an older lock outlived a power cut. */
  startedAtMs(): number;
  /** Whether a process of this host is running. */
  isRunning(processId: number): boolean;
}

const nodeDisk: Disk = {
  open: (path, flags) => openSync(path, flags),
  read: (path) => readFileSync(path),
  write: (fd, bytes, position) => writeSync(fd, bytes, 0, bytes.length, position),
  sync: (fd) => fsyncSync(fd),
  syncFolder,
  truncate: (fd, size) => ftruncateSync(fd, size),
  size: (fd) => fstatSync(fd).size,
  isSame(path, fd) {
    const named = statSync(path, { bigint: true });
    const open = fstatSync(fd, { bigint: true });
    return named.ino === open.ino && named.dev === open.dev;
  },
  close: (fd) => closeSync(fd),
  rename: (from, to) => renameSync(from, to),
  remove: (path) => unlinkSync(path),
  realPath: (path) => realpathSync(path),
};

/** The real disk, clock and processes. */
export const NODE_DESK: Desk = {
  disk: nodeDisk,
  now: () => new Date(),
  processId: process.pid,
  host: hostname(),
  startedAtMs: () => Date.now() - uptime() * 1000,
  isRunning,
};

function syncFolder(path: string): void {
  let fd: number | undefined;
  try {
    fd = openSync(dirname(path), 'r');
    fsyncSync(fd);
  } catch (error) {
    // Some systems know no syncing of folders; the file itself is synced all the same.
    if (!['EINVAL', 'ENOTSUP', 'EISDIR', 'EPERM'].includes(errorCode(error) ?? '')) throw error;
  } finally {
    if (fd !== undefined) closeSync(fd);
  }
}

function isRunning(processId: number): boolean {
  try {
    process.kill(processId, 0);
    return true;
  } catch (error) {
    return errorCode(error) !== 'ESRCH';
  }
}

/** The `code` of a system error, undefined for any other thing thrown. */
export function errorCode(error: unknown): string | undefined {
  if (!(error instanceof Error) || !('code' in error)) return undefined;
  return typeof error.code === 'string' ? error.code : undefined;
}
