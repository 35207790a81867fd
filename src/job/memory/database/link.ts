/** The way from a bench to the shop's database: opened when it is needed, given up soon, never waited for. */
import type { Client } from 'pg';
import { type Address, certificates } from './address.ts';
import { linkProblem, noPassword, ShopAway } from './link-problem.ts';
import { passwordFor } from './pass-file.ts';

/** Longest that a bench waits for the server to answer at all, and for one answer, ms. */
const CONNECT_MS = 2000;
const ANSWER_MS = 15_000;
/** So long after a failure nobody is made to wait again, ms. */
const AWAY_MS = 20_000;
/** An idle connection is closed after so long; a short run of the program ends before, ms. */
const IDLE_MS = 2000;

/** An SQL text, prepared by the server under its name. */
export interface Statement {
  readonly name: string;
  readonly text: string;
}

export type Row = Readonly<Record<string, unknown>>;
/** Asks one thing of the open database. */
export type Ask = (statement: Statement, values?: readonly unknown[]) => Promise<readonly Row[]>;

/** A connection that takes any SQL. */
export interface PlainClient {
  query(
    sql: string,
    values?: unknown[],
  ): Promise<{ readonly rows: readonly Row[]; readonly rowCount: number | null }>;
}

export interface LinkOptions {
  readonly env: Readonly<Record<string, string | undefined>>;
  /** What one answer may take, ms; 0: as long as it takes. */
  readonly answerMs?: number;
  readonly connectMs?: number;
}

/** One connection at most, shared by all that a run of the program asks. */
export class Link {
  readonly address: Address;
  readonly #options: LinkOptions;
  #client: Client | undefined;
  /** Asked one after the other, in the order they came. */
  #last: Promise<unknown> = Promise.resolve();
  #waiting = 0;
  #idle: NodeJS.Timeout | undefined;
  #away: { readonly error: ShopAway; readonly until: number } | undefined;

  constructor(address: Address, options: LinkOptions) {
    this.address = address;
    this.#options = options;
  }

  /**
   * Asks the database. A statement that the server may have run before the connection broke is sent again, once:
   * each must do no harm when it is run twice.
   * @throws {ShopAway} when it cannot be asked now
   * @throws {InputError} when it refuses
   */
  readonly ask: Ask = (statement, values = []) =>
    this.#inTurn(async () => {
      const isFresh = this.#client === undefined;
      try {
        return await this.#send(statement, values);
      } catch (error) {
        const isWorthAgain = error instanceof ShopAway && error.how === 'lost' && !isFresh;
        if (!isWorthAgain) throw error;
        return await this.#send(statement, values);
      }
    });

  /** Does work that asks in plain SQL, on a connection of its own, as long as it takes. */
  async alone<T>(work: (client: PlainClient) => Promise<T>): Promise<T> {
    try {
      const client = await this.#connected(0);
      try {
        return await work(client);
      } finally {
        await client.end().catch(() => undefined);
      }
    } catch (error) {
      throw linkProblem(error, this.address);
    }
  }

  async close(): Promise<void> {
    clearTimeout(this.#idle);
    const client = this.#client;
    this.#client = undefined;
    // Whoever waits for the end has to see it.
    hold(client, true);
    await client?.end().catch(() => undefined);
  }

  async #inTurn<T>(work: () => Promise<T>): Promise<T> {
    this.#waiting += 1;
    clearTimeout(this.#idle);
    const turn = this.#last.then(work, work);
    this.#last = turn;
    try {
      return await turn;
    } finally {
      this.#waiting -= 1;
      if (this.#waiting === 0) this.#rest();
    }
  }

  /** An open connection is no reason for the program to go on running. */
  #rest(): void {
    hold(this.#client, false);
    this.#idle = setTimeout(() => void this.close(), IDLE_MS).unref();
  }

  async #send(statement: Statement, values: readonly unknown[]): Promise<readonly Row[]> {
    if (this.#away !== undefined && Date.now() < this.#away.until) throw this.#away.error;
    try {
      this.#client ??= await this.#connected(this.#options.answerMs ?? ANSWER_MS);
      const client = this.#client;
      hold(client, true);
      const { rows } = await client.query<Row>({ ...statement, values: [...values] });
      this.#away = undefined;
      return rows;
    } catch (error) {
      throw this.#noted(linkProblem(error, this.address));
    }
  }

  #noted(problem: unknown): unknown {
    if (!(problem instanceof ShopAway) || problem.how === 'full') return problem;
    void this.close();
    // A connection that broke is tried again at once; a server that does not answer is left in peace.
    if (problem.how === 'unreachable') this.#away = { error: problem, until: Date.now() + AWAY_MS };
    return problem;
  }

  async #connected(answerMs: number): Promise<Client> {
    const { env, connectMs = CONNECT_MS } = this.#options;
    const { host, port, user, database } = this.address;
    // Loaded here and nowhere else: without a database in the settings nothing reaches the network.
    const { Client: Made } = await import('pg');
    const client = new Made({
      host,
      port,
      user,
      database,
      password: () => passwordOrThrow(this.address, env),
      ssl: tlsOf(this.address),
      application_name: 'trace-short',
      connectionTimeoutMillis: connectMs,
      ...(answerMs === 0 ? {} : { query_timeout: answerMs, statement_timeout: answerMs }),
      keepAlive: true,
    });
    // A connection that breaks while nobody asks is found out by the next question.
    client.on('error', () => {
      if (this.#client === client) this.#client = undefined;
    });
    await client.connect();
    return client;
  }
}

/** Whether the connection keeps the program running. The driver's types leave these two out. */
function hold(client: Client | undefined, isHeld: boolean): void {
  const held = client as (Client & { ref(): void; unref(): void }) | undefined;
  if (isHeld) held?.ref();
  else held?.unref();
}

/** Asked for by the server; where it asks for none, none is looked for. */
function passwordOrThrow(address: Address, env: LinkOptions['env']): string {
  const password = passwordFor(address, env);
  if (password === undefined) throw noPassword(address);
  return password;
}

function tlsOf(address: Address) {
  const { tls } = address;
  if (tls === 'disable') return false;
  const ca = certificates(address);
  return {
    rejectUnauthorized: true,
    minVersion: 'TLSv1.2' as const,
    ...(ca === undefined ? {} : { ca }),
    // As libpq has it: the certificate is good, whatever name it is for.
    ...(tls === 'verify-ca' ? { checkServerIdentity: () => undefined } : {}),
  };
}
