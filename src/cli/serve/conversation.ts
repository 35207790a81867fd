import { once } from 'node:events';
import type { Context } from '../context.ts';
import { linesOf } from './lines.ts';
import { alone, CODE, RpcError, readMessage } from './rpc.ts';
import { Server } from './server.ts';

export interface Limits {
  /** Bytes of one message. */
  readonly lineBytes: number;
  /** Messages worked on, or waiting for their reply to be read, before no more are taken in. */
  readonly messages: number;
}

export const LIMITS: Limits = { lineBytes: 16 * 1024 * 1024, messages: 32 };

/** Answers one message a line until the input ends; then every job is closed. */
export async function converse(
  context: Context,
  input: AsyncIterable<Uint8Array | string>,
  limits: Limits = LIMITS,
): Promise<void> {
  const server = new Server(context);
  const replies = new Replies(context.stdout);
  const underway = new Set<Promise<void>>();
  try {
    for await (const { number, text } of linesOf(input, limits.lineBytes)) {
      const message =
        text === undefined ? alone(tooLong(number, limits.lineBytes)) : readMessage(text, number);
      const done = server.answer(message).then((line) => replies.write(line));
      const held = done.finally(() => underway.delete(held));
      underway.add(held);
      // The input waits while replies pile up or are not read.
      while (underway.size >= limits.messages) await Promise.race(underway);
    }
    await Promise.all(underway);
  } finally {
    server.closeAll();
  }
}

function tooLong(line: number, most: number): RpcError {
  const message = `line ${line} is longer than ${most} bytes and was passed over`;
  return new RpcError(CODE.tooLong, message);
}

/** Writes one reply after the other, each whole, as fast as they are read. */
class Replies {
  readonly #output: NodeJS.WritableStream;
  #last: Promise<unknown> = Promise.resolve();

  constructor(output: NodeJS.WritableStream) {
    this.#output = output;
  }

  write(line: string | undefined): Promise<void> {
    if (line === undefined) return Promise.resolve();
    const written = this.#last.then(async () => {
      if (!this.#output.write(`${line}\n`)) await once(this.#output, 'drain');
    });
    this.#last = written;
    return written;
  }
}
