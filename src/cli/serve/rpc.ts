/** JSON-RPC 2.0 (jsonrpc.org/specification): calls read from a line, replies written as one. */
import type { Diagnostic } from '../../board/diagnostic.ts';
import { whereJsonBreaks } from './where-json-breaks.ts';

/** Codes of errors: the standard's own, and ours from −32001 on. */
export const CODE = {
  notJson: -32700,
  notRequest: -32600,
  noMethod: -32601,
  badParams: -32602,
  ownFault: -32603,
  /** A file, a line of the notation or a setting that cannot be worked with. */
  refused: -32001,
  /** No job of that number is open. */
  noJob: -32002,
  /** Another run, or another job of this one, writes the job file. */
  held: -32003,
  /** The disk failed: what is named in `recorded` is in the file, the rest is not. */
  disk: -32004,
  /** The message is longer than one may be. */
  tooLong: -32005,
} as const;

export type RequestId = string | number | null;

export type JsonObject = Readonly<Record<string, unknown>>;

/** One call; without an id it is a notification, which nothing answers. */
export interface Call {
  readonly id: RequestId | undefined;
  readonly method: string;
  readonly params: JsonObject;
}

/** What one line holds: calls, and in the place of what is no call the error that answers it. */
export interface Message {
  readonly isBatch: boolean;
  readonly entries: readonly (Call | Failure)[];
}

/** An error on its way to the caller; without an id nobody is told of it. */
export interface Failure {
  readonly id: RequestId | undefined;
  readonly error: RpcError;
}

/** An error with its code and, under `data`, everything known of it. */
export class RpcError extends Error {
  readonly code: number;
  readonly diagnostics: readonly Diagnostic[];
  /** More about it, beside the diagnostics. */
  readonly more: JsonObject;

  constructor(
    code: number,
    message: string,
    diagnostics: readonly Diagnostic[] = [],
    more: JsonObject = {},
  ) {
    super(message);
    this.name = 'RpcError';
    this.code = code;
    this.diagnostics = diagnostics;
    this.more = more;
  }
}

/** A batch with more calls than this is no batch but a mistake. */
export const MOST_IN_BATCH = 1000;

/** @param line number of the line in the input, from 1, for the places of errors */
export function readMessage(text: string, line: number): Message {
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch {
    return alone(notJson(text, line));
  }
  if (!Array.isArray(value)) return { isBatch: false, entries: [readCall(value)] };
  if (value.length === 0) return alone(new RpcError(CODE.notRequest, 'the batch is empty'));
  if (value.length > MOST_IN_BATCH) {
    const message = `the batch holds ${value.length} calls; ${MOST_IN_BATCH} is the most`;
    return alone(new RpcError(CODE.notRequest, message));
  }
  return { isBatch: true, entries: value.map(readCall) };
}

/** The reply to a message that cannot be told from another. */
export function alone(error: RpcError): Message {
  return { isBatch: false, entries: [{ id: null, error }] };
}

function readCall(value: unknown): Call | Failure {
  if (!isObject(value)) return refuse(null, 'a call is an object, or a list of such');
  const { jsonrpc, method, params } = value;
  const hasId = Object.hasOwn(value, 'id');
  const id = hasId && isId(value.id) ? value.id : null;
  if (hasId && !isId(value.id)) return refuse(null, 'an id is text, a number or null');
  if (jsonrpc !== '2.0') return refuse(id, 'a call has "jsonrpc": "2.0"');
  if (typeof method !== 'string') return refuse(id, 'a call names its method, as text');
  if (params !== undefined && !isObject(params) && !Array.isArray(params)) {
    return refuse(id, 'params is an object');
  }
  if (Array.isArray(params) && params.length > 0) {
    const error = new RpcError(CODE.badParams, 'params go by name: an object, not a list');
    // A notification is never answered, however wrong it is.
    return { id: hasId ? id : undefined, error };
  }
  const named = isObject(params) ? params : {};
  return { id: hasId ? id : undefined, method, params: named };
}

function refuse(id: RequestId, message: string): Failure {
  return { id, error: new RpcError(CODE.notRequest, message) };
}

function isId(value: unknown): value is RequestId {
  return value === null || typeof value === 'string' || typeof value === 'number';
}

export function isObject(value: unknown): value is JsonObject {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

function notJson(text: string, line: number): RpcError {
  const at = whereJsonBreaks(text);
  const diagnostic: Diagnostic = {
    code: 'NOT_JSON',
    severity: 'error',
    message: at < text.length ? 'this is not JSON from here on' : 'the JSON ends too early',
    place: { file: 'standard input', line, column: at + 1, endColumn: at + 2, text },
    hint: 'one message is one line of JSON',
  };
  return new RpcError(CODE.notJson, `line ${line} is not JSON`, [diagnostic]);
}
