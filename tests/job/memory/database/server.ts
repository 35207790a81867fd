/** A real PostgreSQL in a folder of its own, for tests that ask for one: TRACE_SHORT_POSTGRES names its programs' folder. */
import { spawnSync } from 'node:child_process';
import { chmodSync, existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { createServer } from 'node:net';
import { tmpdir, userInfo } from 'node:os';
import { join } from 'node:path';
import { Client } from 'pg';
import { readAddress } from '../../../../src/job/memory/database/address.ts';
import { Link, type LinkOptions } from '../../../../src/job/memory/database/link.ts';
import { prepareDatabase } from '../../../../src/job/memory/database/prepare.ts';

const { TRACE_SHORT_POSTGRES: asked = '' } = process.env;
/** Whether tests that need a server run. */
export const hasServer: boolean = asked !== '' && existsSync(join(asked, 'postgres'));
if (!hasServer) {
  console.info(
    'no PostgreSQL asked for (TRACE_SHORT_POSTGRES): tests of the database are left out',
  );
}

/** The one that migrates, and the one that a bench comes as. */
export type Role = 'keeper' | 'bench1';
const PASSWORDS: Readonly<Record<Role | 'postgres', string>> = {
  keeper: 'owner-secret',
  bench1: 'bench-secret',
  postgres: 'root-secret',
};

/** PostgreSQL does not run as root. */
const isRoot = process.getuid?.() === 0;
const USER = isRoot ? 'postgres' : userInfo().username;

export class Server {
  readonly folder: string;
  readonly data: string;
  readonly port: number;
  #databases = 0;

  private constructor(folder: string, port: number) {
    this.folder = folder;
    this.data = join(folder, 'data');
    this.port = port;
  }

  static async started(): Promise<Server> {
    const folder = mkdtempSync(join(tmpdir(), 'shop-server-'));
    chmodSync(folder, 0o755);
    const server = new Server(folder, await freePort());
    const secret = join(folder, 'secret');
    writeFileSync(secret, `${PASSWORDS.postgres}\n`, { mode: 0o644 });
    if (isRoot) own(folder);
    const auth = ['--auth=scram-sha-256', `--pwfile=${secret}`, '--username=postgres'];
    const plain = ['--no-sync', '--encoding=UTF8', '--locale=C.UTF-8'];
    run('initdb', ['-D', server.data, ...auth, ...plain]);
    await server.start();
    await server.asRoot('postgres', [
      `create role keeper login createrole createdb password '${PASSWORDS.keeper}'`,
      'create database made_ready owner keeper',
    ]);
    const link = server.link('made_ready', 'keeper');
    await prepareDatabase(link, { halfAfter: 200 });
    await link.close();
    await server.asRoot('postgres', [
      `create role bench1 login password '${PASSWORDS.bench1}' in role trace_short_bench`,
    ]);
    return server;
  }

  /** @param settings of the server, e.g. `ssl=on` */
  async start(settings: readonly string[] = []): Promise<void> {
    const set = [`port=${this.port}`, 'listen_addresses=127.0.0.1', 'fsync=off', ...settings];
    const sockets = [`unix_socket_directories=${this.folder}`, 'shared_buffers=16MB'];
    const words = [...set, ...sockets].map((each) => `-c ${each}`).join(' ');
    const log = join(this.folder, 'log');
    run('pg_ctl', ['-D', this.data, '-l', log, '-w', '-t', '30', '-o', words, 'start']);
  }

  stop(how: 'fast' | 'immediate' = 'fast'): void {
    run('pg_ctl', ['-D', this.data, '-w', '-m', how, 'stop']);
  }

  remove(): void {
    if (existsSync(join(this.data, 'postmaster.pid'))) this.stop('immediate');
    rmSync(this.folder, { recursive: true, force: true });
  }

  /** A database that is made ready, with nothing in it; its name. */
  async newDatabase(template: string = 'made_ready'): Promise<string> {
    this.#databases += 1;
    const name = `shop_${this.#databases}`;
    await this.asRoot('postgres', [`create database ${name} template ${template} owner keeper`]);
    return name;
  }

  url(
    database: string,
    user: Role,
    { port = this.port, query = '' }: { readonly port?: number; readonly query?: string } = {},
  ): string {
    return `postgres://${user}@127.0.0.1:${port}/${database}${query}`;
  }

  env(user: Role): NodeJS.ProcessEnv {
    return { PGPASSWORD: PASSWORDS[user] };
  }

  link(
    database: string,
    user: Role = 'bench1',
    options: Partial<LinkOptions> & { port?: number; query?: string } = {},
  ): Link {
    const { port = this.port, query = '', ...rest } = options;
    const env = this.env(user);
    const address = readAddress(this.url(database, user, { port, query }), env);
    return new Link(address, { env, ...rest });
  }

  /** A connection of the server's own administrator. */
  async root(database: string): Promise<Client> {
    const client = new Client({
      host: '127.0.0.1',
      port: this.port,
      user: 'postgres',
      password: PASSWORDS.postgres,
      database,
    });
    client.on('error', () => undefined);
    await client.connect();
    return client;
  }

  /** Statements as the administrator; rows of the last one. */
  async asRoot(
    database: string,
    statements: readonly string[],
  ): Promise<Record<string, unknown>[]> {
    const client = await this.root(database);
    try {
      let rows: Record<string, unknown>[] = [];
      for (const text of statements) rows = (await client.query(text)).rows;
      return rows;
    } finally {
      await client.end().catch(() => undefined);
    }
  }
}

function run(program: string, args: readonly string[]): void {
  const path = join(asked, program);
  const [command, ...words] = isRoot ? ['runuser', '-u', USER, '--', path] : [path];
  // The server inherits its output: a pipe would keep this call waiting for it.
  const done = spawnSync(command ?? path, [...words, ...args], {
    stdio: ['ignore', 'ignore', 'inherit'],
    cwd: tmpdir(),
  });
  if (done.status !== 0) throw new Error(`${program} ${args.join(' ')} failed`);
}

export function own(path: string): void {
  const done = spawnSync('chown', ['-R', USER, path]);
  if (done.status !== 0) throw new Error(`chown ${path} failed`);
}

function freePort(): Promise<number> {
  return new Promise((resolve, reject) => {
    const probe = createServer().on('error', reject);
    probe.listen(0, '127.0.0.1', () => {
      const address = probe.address();
      probe.close(() => resolve(typeof address === 'object' ? (address?.port ?? 0) : 0));
    });
  });
}
