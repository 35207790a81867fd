/** Where a shop's database is: `postgres://USER@HOST:PORT/NAME?sslmode=…&sslrootcert=…`, as libpq writes it. */
import { readFileSync } from 'node:fs';
import { userInfo } from 'node:os';
import { InputError } from '../../../board/diagnostic.ts';
import { nearest } from '../../../board/nearest.ts';
import { inWords } from '../../disk-problem.ts';

/** How far the server has to prove who it is; `disable`: not at all, and in plain text. */
export type TlsMode = 'disable' | 'verify-ca' | 'verify-full';

export interface Address {
  readonly host: string;
  readonly port: number;
  readonly user: string;
  readonly database: string;
  readonly tls: TlsMode;
  /** Path of the certificates that are trusted; none: those of the system. */
  readonly rootCertificate?: string;
  /** Of the environment; none: `~/.pgpass` may have it. */
  readonly password?: string;
  /** For people: never with a password. */
  readonly shown: string;
}

const USUAL_PORT = 5432;
const PARAMETERS = ['sslmode', 'sslrootcert'];
const MODES: readonly string[] = ['disable', 'verify-ca', 'verify-full'] satisfies TlsMode[];
/** Modes of libpq that encrypt, and talk to whoever answers. */
const UNCHECKED: readonly string[] = ['allow', 'prefer', 'require'];

/**
 * Reads an address. What it leaves out comes from PGUSER, PGSSLMODE, PGSSLROOTCERT and PGPASSWORD.
 * @throws {InputError} when it is none, holds a password, or would talk in the clear over a network unasked
 */
export function readAddress(
  text: string,
  env: Readonly<Record<string, string | undefined>>,
): Address {
  const url = urlIn(text);
  if (url.password !== '') {
    refuse('the address of the database holds a password', {
      hint: 'take it out: passwords come from PGPASSWORD or ~/.pgpass, where other users cannot read them',
    });
  }
  for (const name of url.searchParams.keys()) {
    if (PARAMETERS.includes(name)) continue;
    const near = nearest(name, PARAMETERS);
    refuse(`unknown setting "${name}" in the address of the database`, {
      hint: near === undefined ? `it may say ${PARAMETERS.join(', ')}` : `did you mean "${near}"?`,
    });
  }
  const host = url.hostname.replace(/^\[|\]$/g, '');
  const database = decoded(url.pathname.slice(1));
  if (host === '' || database === '') {
    refuse(`the address "${shownUrl(url)}" names no ${host === '' ? 'host' : 'database'}`, {
      hint: 'write it as postgres://USER@HOST/DATABASE',
    });
  }
  const port = url.port === '' ? USUAL_PORT : Number(url.port);
  const certificate = url.searchParams.get('sslrootcert') ?? filled(env.PGSSLROOTCERT);
  const password = filled(env.PGPASSWORD);
  return {
    host,
    port,
    user: decoded(url.username) || filled(env.PGUSER) || userInfo().username,
    database,
    tls: modeOf(url.searchParams.get('sslmode') ?? filled(env.PGSSLMODE), host),
    ...(certificate === undefined || certificate === 'system'
      ? {}
      : { rootCertificate: certificate }),
    ...(password === undefined ? {} : { password }),
    shown: `${url.hostname}:${port}/${database}`,
  };
}

/** The certificates to trust, as text; undefined: those of the system. */
export function certificates({ rootCertificate }: Address): string | undefined {
  if (rootCertificate === undefined) return undefined;
  return inWords(`cannot read the certificates in "${rootCertificate}"`, () =>
    readFileSync(rootCertificate, 'utf8'),
  );
}

function urlIn(text: string): URL {
  try {
    return new URL(text);
  } catch {
    return refuseUnread();
  }
}

function decoded(text: string): string {
  try {
    return decodeURIComponent(text);
  } catch {
    return refuseUnread();
  }
}

/** Without the text, which may hold a password. */
function refuseUnread(): never {
  return refuse('the address of the database cannot be read', {
    hint: 'write it as postgres://USER@HOST/DATABASE, odd signs in it as %XX',
  });
}

/** On one's own machine nobody listens in; elsewhere the server proves itself unless told otherwise. */
function modeOf(said: string | undefined, host: string): TlsMode {
  if (said === undefined) return isOwnMachine(host) ? 'disable' : 'verify-full';
  if (MODES.includes(said)) return said as TlsMode;
  const hint = UNCHECKED.includes(said)
    ? 'it would take the word of whoever answers; say verify-full with sslrootcert=FILE, or disable on a network that you trust'
    : `it may be ${MODES.join(', ')}`;
  return refuse(`sslmode "${said}" is not taken`, { hint });
}

function isOwnMachine(host: string): boolean {
  return host === 'localhost' || host === '::1' || /^127\.\d+\.\d+\.\d+$/.test(host);
}

function shownUrl({ protocol, hostname, pathname }: URL): string {
  return `${protocol}//${hostname}${pathname}`;
}

function filled(text: string | undefined): string | undefined {
  return text === '' ? undefined : text;
}

function refuse(message: string, { hint }: { readonly hint: string }): never {
  throw new InputError([{ code: 'SHOP_ADDRESS', severity: 'error', message, hint }]);
}
