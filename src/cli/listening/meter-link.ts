/** The meter that `--meter` names, and the terminal that keys come from when it takes standard input. */
import { closeSync, constants, fstatSync, openSync } from 'node:fs';
import { Socket } from 'node:net';
import type { Readable } from 'node:stream';
import { isatty, ReadStream } from 'node:tty';
import type { MeterFeed } from '../../bench/meter/feed.ts';
import { openScpi } from '../../bench/meter/open-scpi.ts';
import { type MeterPlace, parseMeterPlace } from '../../bench/meter/place.ts';
import { InputError } from '../../board/diagnostic.ts';
import type { Context } from '../context.ts';

/** A meter that answers by itself, and the context whose keys are the person's. */
export interface Linked {
  readonly feed: MeterFeed;
  readonly context: Context;
}

/**
 * Listens to the meter at the place a word names. Nothing is sent over a network but for `tcp://`.
 * @throws {InputError} when the word names no place, or what it names cannot be read
 */
export async function linkMeter(context: Context, word: string): Promise<Linked> {
  const place = parseMeterPlace(word);
  if (place.kind === 'scpi') {
    return { feed: await openScpi(place), context };
  }
  const { LineFeed } = await import('../../bench/meter/line-feed.ts');
  if (place.kind === 'device') {
    return { feed: new LineFeed(openDevice(place), place.path), context };
  }
  if (context.stdin.isTTY === true) {
    refuse('standard input is the keyboard', 'pipe the readings in: reader | trace-short …');
  }
  const keys = openKeyboard();
  return {
    feed: new LineFeed(context.stdin, 'standard input'),
    context: { ...context, stdin: keys },
  };
}

/** Reads a serial port or a named pipe as they fill; opening waits for nobody. */
function openDevice({ path }: Extract<MeterPlace, { kind: 'device' }>): Readable {
  const descriptor = openOrRefuse(path);
  if (isatty(descriptor)) return new ReadStream(descriptor);
  if (fstatSync(descriptor).isFIFO()) return new Socket({ fd: descriptor, writable: false });
  closeSync(descriptor);
  return refuse(
    `"${path}" is no serial device and no pipe`,
    'readings saved in a file are weighed by trace-short check, or recorded by trace-short log JOB -',
  );
}

/** The keyboard of the terminal this runs in, when standard input is taken. */
function openKeyboard(): ReadStream {
  const path = process.platform === 'win32' ? '\\\\.\\CONIN$' : '/dev/tty';
  try {
    return new ReadStream(openSync(path, 'r'));
  } catch {
    return refuse('there is no terminal for the keys', 'run it in a terminal');
  }
}

function openOrRefuse(path: string): number {
  try {
    const { O_RDONLY, O_NONBLOCK = 0, O_NOCTTY = 0 } = constants;
    return openSync(path, O_RDONLY | O_NONBLOCK | O_NOCTTY);
  } catch (error) {
    const { code, message } = error as NodeJS.ErrnoException;
    const told = REASONS[code ?? ''] ?? message;
    return refuse(
      `"${path}" cannot be read: ${told}`,
      'which serial devices there are: ls /dev/tty*',
    );
  }
}

const REASONS: Readonly<Record<string, string>> = {
  ENOENT: 'there is no such device',
  EACCES: 'you may not read it; your user may lack the group that may',
  EBUSY: 'another program uses it',
};

function refuse(message: string, hint: string): never {
  throw new InputError([{ code: 'METER_PLACE', severity: 'error', message, hint }]);
}
