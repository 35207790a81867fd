import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { PassThrough } from 'node:stream';
import type { Context } from '../../../src/cli/context.ts';
import { converse, type Limits } from '../../../src/cli/serve/conversation.ts';
import { LAMP } from '../scratch.ts';

/** A message of the server, read loosely: tests look at what they expect in it. */
// biome-ignore lint/suspicious/noExplicitAny: a reply may hold anything
export type Reply = any;

/** The world of a conversation that nobody sits at; `stdout` is what it answers on. */
export function servedContext(stdout: NodeJS.WritableStream): Context {
  const stdin = new PassThrough();
  stdin.end();
  const streams = { stdin, stdout, stderr: new PassThrough() };
  const plain = { env: { TRACE_SHORT_SHOP: 'none' }, json: false, colour: false };
  return { ...streams, ...plain } as unknown as Context;
}

/** Says everything at once, ends, and gives the replies in the order they came. */
export async function talk(
  messages: readonly (string | object)[],
  limits?: Limits,
): Promise<Reply[]> {
  const text = messages.map((one) => (typeof one === 'string' ? one : JSON.stringify(one)));
  return await answersTo([Buffer.from(text.map((line) => `${line}\n`).join(''))], limits);
}

/** The same for bytes as they come in. */
export async function answersTo(chunks: readonly Uint8Array[], limits?: Limits): Promise<Reply[]> {
  const output = new PassThrough();
  const pieces: Buffer[] = [];
  output.on('data', (piece: Buffer) => pieces.push(piece));
  async function* input(): AsyncGenerator<Uint8Array> {
    yield* chunks;
  }
  await converse(servedContext(output), input(), limits);
  const lines = Buffer.concat(pieces).toString().split('\n');
  return lines.filter(Boolean).map((line) => JSON.parse(line));
}

/** A call; without an id a notification. */
export function call(id: unknown, method: string, params?: object): object {
  return { jsonrpc: '2.0', ...(id === undefined ? {} : { id }), method, params };
}

export const OPEN_LAMP: object = { boardText: LAMP };

/** A folder with the lamp driver in it. */
export function lampFolder(): { readonly path: (name: string) => string; remove(): void } {
  const folder = mkdtempSync(join(tmpdir(), 'serve-'));
  writeFileSync(join(folder, 'lamp.yaml'), LAMP);
  const path = (name: string): string => join(folder, name);
  return { path, remove: () => rmSync(folder, { recursive: true, force: true }) };
}

/** The reply to one id, wherever it came. */
export function replyTo(replies: readonly Reply[], id: unknown): Reply {
  return replies.flat().find((reply) => reply.id === id);
}
