import { renderDiagnostic } from '../../board/frame.ts';
import type { Context } from '../context.ts';
import { diagnosticDocuments } from '../diagnostics.ts';
import { checkParams } from './check-params.ts';
import { METHODS } from './methods.ts';
import { type OpenParams, openJob } from './open-job.ts';
import { type Call, CODE, type Failure, type JsonObject, type Message, RpcError } from './rpc.ts';
import { PARAMS } from './schema/methods.ts';
import { rpcErrorOf, ServedJob } from './served-job.ts';
import { openedJob } from './state.ts';

/** Open jobs take memory; more than this are forgotten ones. */
const MOST_JOBS = 200;

/** A job and the calls that wait for it, one after the other. */
interface Slot {
  job: ServedJob | undefined;
  last: Promise<unknown>;
}

/** Answers calls about any number of jobs; calls about one job in the order they came in. */
export class Server {
  readonly #context: Context;
  readonly #slots = new Map<number, Slot>();
  #opened = 0;
  /** One after the other: two that name the same file must not both find it missing. */
  #opening: Promise<unknown> = Promise.resolve();

  constructor(context: Context) {
    this.#context = context;
  }

  /** The reply to one message, as one line; undefined where nothing is to be answered. */
  async answer(message: Message): Promise<string | undefined> {
    // All calls take their places before the first is worked on.
    const pending = message.entries.map((entry) => this.#reply(entry));
    const replies = (await Promise.all(pending)).filter((reply) => reply !== undefined);
    if (replies.length === 0) return undefined;
    return JSON.stringify(message.isBatch ? replies : replies[0]);
  }

  /** Closes every job; the calls before have been answered. */
  closeAll(): void {
    for (const { job } of this.#slots.values()) job?.work.close();
    this.#slots.clear();
  }

  async #reply(entry: Call | Failure): Promise<JsonObject | undefined> {
    const { id } = entry;
    try {
      if ('error' in entry) throw entry.error;
      const result = await this.#call(entry);
      return id === undefined ? undefined : { jsonrpc: '2.0', id, result };
    } catch (error) {
      return id === undefined
        ? undefined
        : { jsonrpc: '2.0', id, error: errorDocument(rpcErrorOf(error)) };
    }
  }

  /** Takes its place in the queue before it gives a promise. */
  #call({ method, params }: Call): Promise<JsonObject> {
    const schema = Object.hasOwn(PARAMS, method) ? PARAMS[method] : undefined;
    if (schema === undefined) {
      const message = `there is no method "${method.slice(0, 80)}"; there are ${Object.keys(PARAMS).join(', ')}`;
      throw new RpcError(CODE.noMethod, message);
    }
    const problems = checkParams(schema, params);
    const [first] = problems;
    if (first !== undefined) throw new RpcError(CODE.badParams, first.message, problems);
    if (method === 'open') return this.#open(params as OpenParams);
    return this.#ask(method, Number(params.job), params);
  }

  #open(params: OpenParams): Promise<JsonObject> {
    this.#opened += 1;
    const number = this.#opened;
    if (this.#slots.size >= MOST_JOBS) {
      throw new RpcError(CODE.refused, `${MOST_JOBS} jobs are open: close one first`);
    }
    const slot: Slot = { job: undefined, last: Promise.resolve() };
    this.#slots.set(number, slot);
    const opening = this.#fill(slot, number, params);
    slot.last = opening.catch(() => this.#slots.delete(number));
    return opening;
  }

  async #fill(slot: Slot, number: number, params: OpenParams): Promise<JsonObject> {
    const opening = this.#opening.then(() => openJob(this.#context, params));
    this.#opening = opening.catch(() => undefined);
    const opened = await opening;
    const job = new ServedJob(number, opened.work, opened.drill);
    try {
      const result = openedJob(job, opened, await job.study());
      slot.job = job;
      return result;
    } catch (error) {
      opened.work.close();
      throw error;
    }
  }

  #ask(method: string, number: number, params: JsonObject): Promise<JsonObject> {
    const slot = this.#slots.get(number);
    if (slot === undefined) throw noJob(number);
    const answered = slot.last.then(async () => {
      if (slot.job === undefined) throw noJob(number);
      const result = (await METHODS[method]?.(slot.job, params)) ?? {};
      if (method === 'close') {
        slot.job = undefined;
        this.#slots.delete(number);
      }
      return result;
    });
    slot.last = answered.catch(() => undefined);
    return answered;
  }
}

function noJob(number: number): RpcError {
  return new RpcError(CODE.noJob, `no job ${number} is open`);
}

/** Every diagnostic with its place, and as a person would see it. */
function errorDocument({ code, message, diagnostics, more }: RpcError): JsonObject {
  if (diagnostics.length === 0 && Object.keys(more).length === 0) return { code, message };
  const documents = diagnosticDocuments(diagnostics.slice(0, MOST_TOLD)).map((one, k) => {
    const diagnostic = diagnostics[k];
    const shown = diagnostic === undefined ? '' : renderDiagnostic(diagnostic);
    return { ...(one as JsonObject), shown };
  });
  return { code, message, data: { diagnostics: documents, ...more } };
}

/** Diagnostics told of one message; a broken board file may have thousands. */
const MOST_TOLD = 100;
