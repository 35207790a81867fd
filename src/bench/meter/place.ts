import { InputError } from '../../board/diagnostic.ts';
import type { ScpiPlace } from './scpi-link.ts';

/** Where a meter that answers by itself is found. */
export type MeterPlace =
  | ({ readonly kind: 'scpi' } & ScpiPlace)
  /** Lines on standard input. */
  | { readonly kind: 'input' }
  /** Lines from a serial device, or a named pipe. */
  | { readonly kind: 'device'; readonly path: string };

/** What instruments listen on for SCPI over a raw socket, where they follow the common habit. */
const USUAL_PORT = 5025;
const DEVICE = 'lines:';

/** Whether a word says where a meter answers, and not which figures it has. */
export function isMeterPlace(word: string): boolean {
  return word === '-' || /^tcp:/i.test(word) || word.startsWith(DEVICE);
}

/**
 * `tcp://HOST`, `tcp://HOST:PORT`, `-` or `lines:FILE`.
 * @throws {InputError} when it is none of these
 */
export function parseMeterPlace(word: string): MeterPlace {
  if (word === '-') return { kind: 'input' };
  if (word.startsWith(DEVICE) && word.length > DEVICE.length) {
    return { kind: 'device', path: word.slice(DEVICE.length) };
  }
  const url = URL.canParse(word) ? new URL(word) : undefined;
  const isPlain =
    url?.protocol === 'tcp:' &&
    url.hostname !== '' &&
    url.username + url.password + url.search + url.hash === '' &&
    (url.pathname === '' || url.pathname === '/');
  if (url === undefined || !isPlain) refuse(word);
  const host = url.hostname.replace(/^\[(.*)\]$/, '$1');
  const port = url.port === '' ? USUAL_PORT : Number(url.port);
  if (port === 0) refuse(word);
  return { kind: 'scpi', host, port };
}

function refuse(word: string): never {
  throw new InputError([
    {
      code: 'METER_PLACE',
      severity: 'error',
      message: `"${word}" does not say where a meter answers`,
      hint: `write tcp://HOST, tcp://HOST:PORT (${USUAL_PORT} when left out), lines:FILE, or - for standard input`,
    },
  ]);
}
