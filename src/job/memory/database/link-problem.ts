/** What goes wrong between a bench and the shop's database, in a technician's words. */
import { InputError } from '../../../board/diagnostic.ts';
import { errorCode } from '../../disk.ts';
import type { Address } from './address.ts';

/** The database cannot be asked just now, through no fault of what it was asked: work goes on without it. */
export class ShopAway extends Error {
  /** Why, as the end of a sentence. */
  readonly why: string;
  /** `lost`: the connection had been made, and broke. `full`: it may still be read. */
  readonly how: AwayHow;

  constructor(why: string, how: AwayHow = 'unreachable') {
    super(why);
    this.name = 'ShopAway';
    this.why = why;
    this.how = how;
  }
}

type AwayHow = 'unreachable' | 'lost' | 'full';

/** What was asked can never be done with what was given. */
const UNFIT = 'SHOP_UNFIT';

export function isUnfit(problem: unknown): problem is InputError {
  return problem instanceof InputError && problem.diagnostics[0]?.code === UNFIT;
}

/** By code of the system or of PostgreSQL (appendix A of its manual). */
const AWAY: ReadonlyMap<string, string> = new Map([
  ['ECONNREFUSED', 'nothing answers there'],
  ['ENOTFOUND', 'no such host is known'],
  ['EAI_AGAIN', 'its name cannot be looked up now'],
  ['EHOSTUNREACH', 'there is no way to it'],
  ['ENETUNREACH', 'there is no way to it'],
  ['ENETDOWN', 'the network is down'],
  ['ETIMEDOUT', 'it does not answer'],
  ['ECONNRESET', 'the connection broke'],
  ['EPIPE', 'the connection broke'],
  ['57P01', 'the server is being stopped'],
  ['57P02', 'the server stopped'],
  ['57P03', 'the server is starting'],
  ['57014', 'it took too long'],
  ['53100', "the server's disk is full"],
  ['53200', 'the server has no memory left'],
  ['53300', 'the server has no connection free'],
  ['58030', "the server's disk reports a fault"],
  ['25006', 'the server takes nothing in just now'],
  ['40001', 'others were writing'],
  ['40P01', 'others were writing'],
]);
const LOST: ReadonlySet<string> = new Set(['ECONNRESET', 'EPIPE', '57P01', '57P02']);
const FULL: ReadonlySet<string> = new Set([
  '53100',
  '53200',
  '58030',
  '25006',
  '40001',
  '40P01',
  '57014',
]);

/** What is wrong, and how to mend it. */
type Complaint = (address: Address) => readonly [string, string];

const WRONG: ReadonlyMap<string, Complaint> = new Map<string, Complaint>([
  [
    '28P01',
    ({ user }) => [
      `the password of "${user}" is not taken`,
      'set PGPASSWORD, or write it to ~/.pgpass',
    ],
  ],
  [
    '28000',
    ({ user }) => [
      `"${user}" may not come in from here`,
      'check the name in the address, and pg_hba.conf on the server',
    ],
  ],
  ['3D000', ({ database }) => [`there is no database "${database}"`, 'make it: createdb']],
  [
    '42501',
    ({ user }) => [
      `"${user}" may not do that`,
      'on the server: grant trace_short_bench to it, or let the owner do it',
    ],
  ],
  ['3F000', () => NOT_PREPARED],
  ['42P01', () => NOT_PREPARED],
  ['42883', () => NOT_PREPARED],
]);

const NOT_PREPARED: readonly [string, string] = [
  'the database is not prepared for a memory',
  'as its owner, once: trace-short memory --prepare --shop postgres://OWNER@HOST/DATABASE',
];

/**
 * Turns what the driver threw into {@link ShopAway} or an {@link InputError}; anything else comes back as it
 * was, as a fault of our own.
 */
export function linkProblem(error: unknown, address: Address): unknown {
  if (!(error instanceof Error) || error instanceof ShopAway || error instanceof InputError) {
    return error;
  }
  const code = errorCode(error) ?? '';
  const why = AWAY.get(code);
  if (why !== undefined) return new ShopAway(why, howOf(code));
  // Class 08: the connection itself.
  if (code.startsWith('08')) return new ShopAway('the connection broke', 'lost');
  const { message } = error;
  // Classes XX and 58: in a full disk's wake a server fails in many words.
  if (/^(?:XX|58)/.test(code)) return new ShopAway(`the server fails: ${message}`, 'full');
  if (/^(?:Connection terminated|Client has encountered a connection error)/.test(message)) {
    return message.includes('timeout')
      ? new ShopAway('it does not answer')
      : new ShopAway('the connection broke', 'lost');
  }
  if (/error establishing an SSL connection/.test(message)) {
    return new ShopAway('it takes no connection now');
  }
  if (/timeout expired|read timeout/.test(message)) return new ShopAway('it does not answer');
  // Class 22: what it was given cannot be kept, whoever gives it and whenever.
  if (code.startsWith('22')) {
    const hint = 'a name in it may hold signs that PostgreSQL does not keep';
    return new InputError([
      { code: UNFIT, severity: 'error', message: `PostgreSQL cannot keep it: ${message}`, hint },
    ]);
  }
  const wrong = WRONG.get(code)?.(address) ?? otherwise(message, code, address);
  return wrong === undefined ? error : new InputError([diagnosticOf(address, ...wrong)]);
}

function howOf(code: string): AwayHow {
  if (LOST.has(code)) return 'lost';
  return FULL.has(code) ? 'full' : 'unreachable';
}

export function noPassword(address: Address): InputError {
  const hint = 'set PGPASSWORD, or write it to ~/.pgpass, readable by you alone';
  return new InputError([
    diagnosticOf(address, `there is no password for "${address.user}"`, hint),
  ]);
}

function otherwise(
  message: string,
  code: string,
  { tls }: Address,
): readonly [string, string] | undefined {
  if (/does not support SSL/.test(message)) {
    return [
      'the server talks in plain text only',
      'switch TLS on there (ssl = on), or say sslmode=disable on a network that you trust',
    ];
  }
  if (/^(?:CERT_|UNABLE_TO_|DEPTH_ZERO|SELF_SIGNED|ERR_TLS_CERT|HOSTNAME_MISMATCH)/.test(code)) {
    const hint =
      code === 'ERR_TLS_CERT_ALTNAME_INVALID'
        ? 'name the host as its certificate does'
        : 'name the certificate that signed it: sslrootcert=FILE';
    return [`the certificate of the server is not trusted: ${message}`, hint];
  }
  if (/^(?:ERR_SSL|ERR_OSSL|EPROTO)/.test(code)) {
    return [`TLS with the server fails: ${message}`, `look at its log; sslmode here is ${tls}`];
  }
  // A server that refuses in words of its own: they tell more than we could.
  return /^[0-9A-Z]{5}$/.test(code)
    ? [`the server refuses (${code}): ${message}`, 'look at its log']
    : undefined;
}

function diagnosticOf(address: Address, message: string, hint: string) {
  return {
    code: 'SHOP_DATABASE',
    severity: 'error',
    message: `the shop's memory at ${address.shown}: ${message}`,
    hint,
  } as const;
}
