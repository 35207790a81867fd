import { spawnSync } from 'node:child_process';
import { chmodSync, copyFileSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { readAddress } from '../../../../src/job/memory/database/address.ts';
import { DatabaseStore } from '../../../../src/job/memory/database/database-store.ts';
import { Link } from '../../../../src/job/memory/database/link.ts';
import { madeLesson } from '../made-lesson.ts';
import { hasServer, own, Server } from './server.ts';

describe.skipIf(!hasServer)('who may come to the shop’s memory, and how', () => {
  let server: Server;
  let database = '';
  const links: Link[] = [];
  beforeAll(async () => {
    server = await Server.started();
    database = await server.newDatabase();
    certificate(server.folder, 'good', 'IP:127.0.0.1,DNS:localhost');
    certificate(server.folder, 'elsewhere', 'DNS:shop.example');
    own(server.folder);
  });
  afterEach(async () => {
    for (const link of links.splice(0)) await link.close();
  });
  afterAll(() => server.remove());

  function linked(query: string, env: NodeJS.ProcessEnv = server.env('bench1')): Link {
    const link = new Link(readAddress(server.url(database, 'bench1', { query }), env), { env });
    links.push(link);
    return link;
  }
  const ask = (link: Link) => new DatabaseStore(link).sums({ board: 'Hoist' });
  const root = (name: string) => `sslrootcert=${join(server.folder, `${name}.crt`)}`;

  /** Only TLS is let in, with the certificate of that name. */
  async function restartWith(name: string): Promise<void> {
    server.stop();
    const rules = join(server.data, 'pg_hba.conf');
    writeFileSync(rules, 'hostssl all all 127.0.0.1/32 scram-sha-256\n');
    for (const kind of ['crt', 'key']) {
      copyFileSync(join(server.folder, `${name}.${kind}`), join(server.data, `server.${kind}`));
    }
    chmodSync(join(server.data, 'server.key'), 0o600);
    own(server.data);
    await server.start(['ssl=on']);
  }

  it('lets a bench do its work and nothing else', async () => {
    await new DatabaseStore(linked('')).handIn(madeLesson(1));
    const may = async (sql: string) => {
      const link = linked('');
      return link
        .alone((client) => client.query(sql))
        .then(
          () => 'yes',
          (error: Error) => (/may not do that/.test(error.message) ? 'no' : error.message),
        );
    };
    const tables = [
      ...['shop', 'counted', 'model', 'model_name', 'same_as', 'forgotten', 'job', 'words'],
      ...['tally', 'whole', 'version'],
    ];
    for (const table of tables) {
      const name = `trace_short.${table}`;
      expect(await may(`select * from ${name}`), name).toBe('yes');
      expect(await may(`delete from ${name}`), name).toBe('no');
      expect(await may(`insert into ${name} default values`), name).toBe('no');
      expect(await may(`truncate ${name}`), name).toBe('no');
    }
    for (const sql of [
      'update trace_short.job set weight = 9',
      'drop table trace_short.job',
      'drop schema trace_short cascade',
      'create table trace_short.more (n integer)',
      "select trace_short.put_in('job-1')",
      "select trace_short.take_out('job-1')",
      'alter function trace_short.forget(text) security invoker',
      'create role another',
    ]) {
      expect(await may(sql), sql).not.toBe('yes');
    }
  });

  it('says what is wrong with a password, a user, a database', async () => {
    const refused = (words: Parameters<typeof readAddress>[0], env: NodeJS.ProcessEnv) => {
      const link = new Link(readAddress(words, env), { env });
      links.push(link);
      return ask(link).catch((error: Error) => error.message);
    };
    const nobody = { PGPASSFILE: join(server.folder, 'none') };
    const url = server.url(database, 'bench1');
    expect(await refused(url, { ...nobody, PGPASSWORD: 'wrong' })).toMatch(
      /password of "bench1" is not taken/,
    );
    expect(await refused(url, nobody)).toMatch(/there is no password for "bench1"/);
    expect(await refused(server.url('nowhere', 'bench1'), server.env('bench1'))).toMatch(
      /no database "nowhere"/,
    );
    expect(
      await refused(url.replace('127.0.0.1', 'no-such-host.invalid'), server.env('bench1')),
    ).toMatch(/no such host is known|cannot be looked up/);
  });

  it('takes a password from a file that its owner alone can read', async () => {
    const path = join(server.folder, 'passwords');
    writeFileSync(path, `127.0.0.1:*:*:bench1:${server.env('bench1').PGPASSWORD}\n`, {
      mode: 0o600,
    });
    expect(await ask(linked('', { PGPASSFILE: path }))).toBeDefined();
    chmodSync(path, 0o644);
    await expect(ask(linked('', { PGPASSFILE: path }))).rejects.toThrow(/no password/);
  });

  it('refuses a server that talks in plain text where TLS was asked for', async () => {
    await expect(ask(linked('?sslmode=verify-full'))).rejects.toThrow(/talks in plain text only/);
  });

  it('talks by TLS with a server whose certificate is trusted, and with no other', async () => {
    await restartWith('good');
    const link = linked(`?sslmode=verify-full&${root('good')}`);
    const { rows } = await link.alone((client) =>
      client.query('select ssl, version from pg_stat_ssl where pid = pg_backend_pid()'),
    );
    expect(rows).toEqual([{ ssl: true, version: 'TLSv1.3' }]);
    expect(await ask(link)).toBeDefined();
    await expect(ask(linked('?sslmode=verify-full'))).rejects.toThrow(/is not trusted/);
    await expect(ask(linked(`?sslmode=verify-full&${root('elsewhere')}`))).rejects.toThrow(
      /is not trusted/,
    );
    await expect(ask(linked('?sslmode=disable'))).rejects.toThrow(/may not come in from here/);
    await expect(ask(linked('?sslmode=verify-full&sslrootcert=/nowhere.crt'))).rejects.toThrow(
      /cannot read the certificates in "\/nowhere.crt"/,
    );
  });

  it('holds a server to the name that its certificate has, unless told otherwise', async () => {
    await restartWith('elsewhere');
    await expect(ask(linked(`?sslmode=verify-full&${root('elsewhere')}`))).rejects.toThrow(
      /is not trusted: .*IP: 127\.0\.0\.1 is not in the cert's list/,
    );
    expect(await ask(linked(`?sslmode=verify-ca&${root('elsewhere')}`))).toBeDefined();
  });

  it('prints no password, whatever fails', async () => {
    const secret = 'hunter-two';
    const env = { PGPASSWORD: secret };
    const error = await ask(linked(`?sslmode=verify-ca&${root('elsewhere')}`, env)).catch((e) => e);
    expect(JSON.stringify([error, error.stack, error.diagnostics])).not.toContain(secret);
    expect(readFileSync(join(server.folder, 'log'), 'utf8')).not.toContain(secret);
  });
});

/** A certificate that signed itself. */
function certificate(folder: string, name: string, names: string): void {
  const done = spawnSync('openssl', [
    ...['req', '-x509', '-newkey', 'ec', '-pkeyopt', 'ec_paramgen_curve:prime256v1', '-nodes'],
    ...['-days', '2', '-subj', `/CN=${name}`, '-addext', `subjectAltName=${names}`],
    ...['-keyout', join(folder, `${name}.key`), '-out', join(folder, `${name}.crt`)],
  ]);
  if (done.status !== 0) throw new Error(`openssl failed: ${done.stderr}`);
}
