import { connect, type Socket } from 'node:net';
import { LineSplitter } from './line-splitter.ts';

/** Where an instrument listens. */
export interface ScpiPlace {
  readonly host: string;
  readonly port: number;
}

/** The link is gone, or can be trusted no more and was cut. The message says why, for a person. */
export class LinkLost extends Error {
  override readonly name: string = 'LinkLost';
}

/** No answer came in time. */
export class NoAnswer extends LinkLost {
  override readonly name: string = 'NoAnswer';
}

interface Asked {
  readonly resolve: (line: string) => void;
  readonly reject: (error: LinkLost) => void;
  readonly timer: NodeJS.Timeout;
}

/**
 * A raw TCP connection to an instrument: a line out, a line back, never two queries in flight. A query
 * that is not answered in time ends the connection: on a raw socket nothing else tells its late answer
 * from the next one's.
 */
export class ScpiLink {
  readonly #socket: Socket;
  readonly #lines = new LineSplitter();
  #asked: Asked | undefined;
  #end: LinkLost | undefined;
  readonly #onEnd: (() => void)[] = [];

  private constructor(socket: Socket) {
    this.#socket = socket;
    socket.setNoDelay(true);
    socket.setKeepAlive(true, 10_000);
    socket.setEncoding('utf8');
    socket.on('data', (piece: string) => this.#hear(piece));
    socket.on('error', (error) => this.#endWith(new LinkLost(reasonOf(error))));
    socket.on('close', () => this.#endWith(new LinkLost('the meter closed the connection')));
  }

  /**
   * @param signal ends the attempt early
   * @throws {LinkLost} when nobody answers there within `timeoutMs`
   */
  static open(
    { host, port }: ScpiPlace,
    timeoutMs: number,
    signal: AbortSignal,
  ): Promise<ScpiLink> {
    return new Promise((resolve, reject) => {
      const socket = connect({ host, port });
      const settle = (): void => {
        clearTimeout(timer);
        signal.removeEventListener('abort', abort);
      };
      const fail = (error: Error): void => {
        settle();
        socket.destroy();
        reject(new LinkLost(reasonOf(error)));
      };
      const abort = (): void => fail(new Error('closed'));
      signal.addEventListener('abort', abort);
      const timer = setTimeout(() => fail(new Error('nothing answers there')), timeoutMs);
      socket.once('error', fail);
      socket.once('connect', () => {
        settle();
        socket.off('error', fail);
        resolve(new ScpiLink(socket));
      });
    });
  }

  /** Why the link ended; undefined while it stands. */
  get end(): LinkLost | undefined {
    return this.#end;
  }

  /** Calls back once the link ends; at once when it has. */
  onEnd(call: () => void): void {
    if (this.#end === undefined) this.#onEnd.push(call);
    else call();
  }

  /** @throws {LinkLost} when it has ended */
  send(command: string): void {
    if (this.#end !== undefined) throw this.#end;
    this.#socket.write(`${command}\n`);
  }

  /**
   * Sends a query and waits for the line that answers it.
   * @throws {LinkLost}, {NoAnswer} after `timeoutMs`
   * @throws {RangeError} when another query is in flight
   */
  async ask(query: string, timeoutMs: number): Promise<string> {
    if (this.#asked !== undefined) throw new RangeError('a query is in flight');
    this.send(query);
    return await new Promise((resolve, reject) => {
      const timer = setTimeout(() => {
        const seconds = Math.round(timeoutMs / 100) / 10;
        this.#endWith(new NoAnswer(`no answer to ${query} within ${seconds} s`));
      }, timeoutMs);
      this.#asked = { resolve, reject, timer };
    });
  }

  /** Ends the link; a query in flight is rejected. */
  close(reason = 'closed'): void {
    this.#endWith(new LinkLost(reason));
  }

  /** Lines that nobody asked for are dropped: they answer nothing. */
  #hear(piece: string): void {
    for (const line of this.#lines.push(piece)) {
      const asked = this.#settle();
      asked?.resolve(line);
    }
  }

  #settle(): Asked | undefined {
    const asked = this.#asked;
    this.#asked = undefined;
    clearTimeout(asked?.timer);
    return asked;
  }

  #endWith(reason: LinkLost): void {
    if (this.#end !== undefined) return;
    this.#end = reason;
    this.#socket.destroy();
    this.#settle()?.reject(reason);
    for (const call of this.#onEnd.splice(0)) call();
  }
}

const REASONS: Readonly<Record<string, string>> = {
  ECONNREFUSED: 'connection refused',
  ECONNRESET: 'the meter cut the connection',
  EPIPE: 'the meter cut the connection',
  ENOTFOUND: 'there is no such host',
  EAI_AGAIN: 'the name of the host cannot be looked up',
  EHOSTUNREACH: 'no way to that host',
  ENETUNREACH: 'no way to that network',
  ETIMEDOUT: 'nothing answers there',
};

function reasonOf(error: NodeJS.ErrnoException): string {
  return REASONS[error.code ?? ''] ?? error.message;
}
