import { hostname } from 'node:os';
import { type Desk, type Disk, NODE_DESK } from '../../src/job/disk.ts';

/** A desk whose clock ticks one second an event. */
export function tickingDesk(changes: Partial<Desk> = {}): Desk {
  let tick = 0;
  const now = (): Date => new Date(Date.UTC(2026, 10, 24, 10, 0, tick++));
  return { ...NODE_DESK, host: hostname(), startedAtMs: () => 0, now, ...changes };
}

/** Which call of the disk goes wrong, and how. */
export interface Mishap {
  /** Number of the call that fails, from 1. */
  readonly at: number;
  readonly code: string;
  /** Part of a failing write that reaches the file, 0–1. */
  readonly written?: number;
  /** When true every later call fails too: the power is gone. */
  readonly forGood?: boolean;
}

/** The real disk, with one call that fails; `calls` counts what was asked. */
export function failingDisk(mishap: Mishap): { disk: Disk; calls(): number } {
  let calls = 0;
  const real = NODE_DESK.disk;
  const fails = (): boolean => {
    calls += 1;
    return mishap.forGood === true ? calls >= mishap.at : calls === mishap.at;
  };
  const error = (): Error => Object.assign(new Error(mishap.code), { code: mishap.code });
  const disk = Object.fromEntries(
    Object.entries(real).map(([name, call]: [string, (...args: never[]) => unknown]) => [
      name,
      (...args: never[]): unknown => {
        if (!fails()) return call(...args);
        if (name === 'write' && calls === mishap.at) writePart(real, args, mishap.written ?? 0);
        throw error();
      },
    ]),
  );
  return { disk: disk as unknown as Disk, calls: () => calls };
}

function writePart(real: Disk, args: readonly unknown[], share: number): void {
  const [fd, bytes, position] = args as [number, Uint8Array, number];
  const part = bytes.subarray(0, Math.floor(bytes.length * share));
  if (part.length > 0) real.write(fd, part, position);
}

/** A system error for a disk that always refuses one call. */
export function refusing(name: keyof Disk, code: string): Disk {
  const refuse = (): never => {
    throw Object.assign(new Error(code), { code });
  };
  return { ...NODE_DESK.disk, [name]: refuse };
}
