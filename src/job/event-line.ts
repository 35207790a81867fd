/**
 * One event as one line of the job record: `- {n: 4, at: …, say: "P48 GND beep", sum: "ab12cd34"}`.
 *
 * Each line is a YAML list of one map by itself, and the lines together one YAML list. The sum
 * covers the line's content and the sum before it, so that a line changed, moved or taken out
 * anywhere shows.
 */
import { createHash } from 'node:crypto';
import { createRequire } from 'node:module';
import { nestsTooDeep } from '../board/yaml-nesting.ts';
import { type MeterFigures, meterFrom } from '../circuit/meter-figures.ts';
import { readFlowLine } from './flow-line.ts';
import { figuresFrom, type MemoryFigures } from './memory/figures.ts';
import type { DoubtFigures } from './shop/shop-figures.ts';
import { doubtsFrom } from './shop/shop-file.ts';

/** The first event: which board this job is about. */
export interface JobOpening {
  readonly board: string;
  readonly revision?: string;
  /** Board file as it was named when the job was opened. */
  readonly file: string;
  /** SHA-256 of that file, hex. */
  readonly digest: string;
  readonly purpose: JobPurpose;
  /** The meter the readings are taken with, whole; a common handheld when it is not said. */
  readonly meter?: MeterFigures;
  /** Doubts of the shop that differ from the defaults: what is concluded follows from them. */
  readonly doubts?: DoubtFigures;
  /** What past boards had taught by then: chances and bench times follow from it. */
  readonly memory?: MemoryFigures;
  /** What a good board of the same kind read, as lines of the notation. */
  readonly reference?: readonly string[];
  /** Of the record's form. */
  readonly version: number;
}

/** `repair` clears a failure; `refurbish` renews what is due to fail as well. */
export type JobPurpose = 'repair' | 'refurbish';

/** One thing said, as the record keeps it. */
export interface JobEvent {
  /** Place in the record, from 2: event 1 is the opening. */
  readonly n: number;
  /** ISO time. */
  readonly at: string;
  /** One line of the notation. */
  readonly say: string;
  /** Line of the file, from 1. */
  readonly line: number;
}

/** The content of a line, without its sum. */
export type EventBody<Opening = JobOpening> =
  | { readonly n: number; readonly at: string; readonly open: Opening }
  | { readonly n: number; readonly at: string; readonly say: string };

/** Makes the opening of one sort of record of what its first line holds. */
export type OpeningReader<Opening> = (value: unknown) => Opening | LineFault;

/** A line read back; `isIntact` tells whether its sum is right. */
export interface EventLine<Opening = JobOpening> {
  readonly body: EventBody<Opening>;
  readonly sum: string;
  /** Whether the sum fits the content and the sum before, when that is known. */
  isIntactAfter(before: string): boolean;
}

/** Why a line is no event. */
export type LineFault = 'not an event' | 'newer form';

const KEYS: ReadonlySet<string> = new Set(['n', 'at', 'open', 'say', 'sum']);
const ISO_TIME = /^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(?:\.\d+)?Z$/u;

/** The line for an event, with its line break, and its sum. */
export function writeEventLine(
  body: EventBody<unknown>,
  before: string,
): { text: string; sum: string } {
  const sum = sumOf(body, before);
  const inner = flow(body).slice(1, -1);
  return { text: `- {${inner}, sum: "${sum}"}\n`, sum };
}

/** Reads one line; the sum is checked apart, as it needs the line before. */
export function readEventLine<Opening>(
  text: string,
  readOpening: OpeningReader<Opening>,
): EventLine<Opening> | LineFault {
  const map = mapOf(text);
  if (map === undefined) return 'not an event';
  const { sum, ...rest } = map;
  if (typeof sum !== 'string' || !/^[0-9a-f]{8}$/u.test(sum)) return 'not an event';
  const body = bodyOf(rest, readOpening);
  if (typeof body === 'string') return body;
  return { body, sum, isIntactAfter: (before) => sumOf(rest, before) === sum };
}

/** An opening with all figures of a meter has some 3,000 letters beside its texts. */
const LONGEST_FRAME = 20_000;

function mapOf(text: string): Record<string, unknown> | undefined {
  const own = readFlowLine(text);
  if (own !== undefined) return { ...own };
  // The parser forgives a missing last brace, which is the mark of a line cut short.
  if (!text.trimEnd().endsWith('}')) return undefined;
  // What is said stands in quotes; the rest of a line is short, and flat.
  const frame = text.replace(/"[^"\\]*(?:\\.[^"\\]*)*"/gu, '""');
  if (frame.length > LONGEST_FRAME) return undefined;
  if (nestsTooDeep(frame, (deep) => new (yaml().Parser)().parse(deep))) return undefined;
  let value: unknown;
  try {
    value = yaml().parse(text, {
      schema: 'core',
      maxAliasCount: 0,
      logLevel: 'silent',
      // Nobody reads them, and the frame of each would be looked for through the whole line.
      prettyErrors: false,
    });
  } catch {
    return undefined;
  }
  const only: unknown = Array.isArray(value) && value.length === 1 ? value[0] : undefined;
  return isMap(only) ? only : undefined;
}

type Yaml = typeof import('yaml');
let loaded: Yaml | undefined;

/** Loaded for what somebody wrote by hand: what the writer writes is read without it. */
function yaml(): Yaml {
  loaded ??= createRequire(import.meta.url)('yaml') as Yaml;
  return loaded;
}

function isMap(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

function bodyOf<Opening>(
  map: Record<string, unknown>,
  readOpening: OpeningReader<Opening>,
): EventBody<Opening> | LineFault {
  const { n, at, open, say } = map;
  if (typeof n !== 'number' || typeof at !== 'string' || !ISO_TIME.test(at)) return 'not an event';
  if (Object.keys(map).some((key) => !KEYS.has(key))) return 'newer form';
  if (open !== undefined) {
    const opening = readOpening(open);
    return isFault(opening) ? opening : { n, at, open: opening };
  }
  return typeof say === 'string' ? { n, at, say } : 'not an event';
}

function isFault(value: unknown): value is LineFault {
  return value === 'not an event' || value === 'newer form';
}

/** The opening of a job. */
export function jobOpening(value: unknown): JobOpening | LineFault {
  if (!isMap(value)) return 'not an event';
  const { board, revision, file, digest, purpose, meter, doubts, memory, reference, version } =
    value;
  if (typeof version !== 'number') return 'not an event';
  if (version !== 1) return 'newer form';
  // A meter with figures this version does not know would be taken for another one.
  if (meter !== undefined && !isMeter(meter)) return 'newer form';
  if (doubts !== undefined && doubtsFrom(doubts) === undefined) return 'newer form';
  if (memory !== undefined && figuresFrom(memory) === undefined) return 'newer form';
  if (reference !== undefined && !isTexts(reference)) return 'newer form';
  const isPurpose = purpose === 'repair' || purpose === 'refurbish';
  const texts = [board, file, digest];
  if (!isPurpose || !texts.every((text): text is string => typeof text === 'string')) {
    return 'not an event';
  }
  const [name = '', path = '', sha = ''] = texts;
  const known = {
    ...(typeof revision === 'string' ? { revision } : {}),
    ...(meter === undefined ? {} : { meter }),
    ...(doubts === undefined ? {} : { doubts: doubts as DoubtFigures }),
    ...(memory === undefined ? {} : { memory: memory as MemoryFigures }),
    ...(reference === undefined ? {} : { reference }),
  };
  return { board: name, ...known, file: path, digest: sha, purpose, version };
}

function isTexts(value: unknown): value is readonly string[] {
  return Array.isArray(value) && value.every((text) => typeof text === 'string');
}

function isMeter(value: unknown): value is MeterFigures {
  return meterFrom(value) !== undefined;
}

function sumOf(body: object, before: string): string {
  return createHash('sha256')
    .update(`${before}\n${flow(body)}`)
    .digest('hex')
    .slice(0, 8);
}

/** YAML flow style on one line, keys in their own order. */
function flow(value: unknown): string {
  if (typeof value === 'string') return ISO_TIME.test(value) ? value : quoted(value);
  if (Array.isArray(value)) return `[${value.map(flow).join(', ')}]`;
  if (!isMap(value)) return String(value);
  const pairs = Object.entries(value).filter(([, inner]) => inner !== undefined);
  return `{${pairs.map(([key, inner]) => `${keyText(key)}: ${flow(inner)}`).join(', ')}}`;
}

/** Names of parts and nets may be keys, and anything may stand in them. */
function keyText(key: string): string {
  return /^[A-Za-z][\w-]*$/u.test(key) && !YAML_WORDS.test(key) ? key : quoted(key);
}

const YAML_WORDS = /^(?:true|false|null)$/iu;

/** JSON's quoting, and escapes for the few characters JSON lets through and YAML does not. */
function quoted(text: string): string {
  return JSON.stringify(text).replace(
    /[\u007f-\u009f\u2028\u2029\ufeff\ufffe\uffff]/gu,
    (char) => `\\u${char.charCodeAt(0).toString(16).padStart(4, '0')}`,
  );
}
