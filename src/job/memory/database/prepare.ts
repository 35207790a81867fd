/** Makes a database ready for a memory, or brings it up to this version of the tool; done by its owner. */
import { InputError } from '../../../board/diagnostic.ts';
import type { MemoryRules } from '../rules.ts';
import type { Link, PlainClient } from './link.ts';
import { MIGRATIONS, type Migration } from './migrations/index.ts';

/** What was done, for people. */
export interface Prepared {
  /** Numbers of the migrations that were applied now; none: the schema was up to date. */
  readonly applied: readonly number[];
  readonly schema: number;
  readonly halfAfter: number;
}

/** Held while migrating: a second run waits, then finds nothing left to do. */
const LOCK = "hashtext('trace_short migration')";
/** The role that benches get their rights from; it cannot log in itself. */
const BENCH_ROLE = `do $$ begin
  if not exists (select from pg_roles where rolname = 'trace_short_bench') then
    create role trace_short_bench nologin;
  end if;
end $$`;

/**
 * Applies what is missing, each migration in a transaction of its own with its number: one that is cut short
 * leaves the schema as it was before it, and the next run goes on from there.
 * @param migrations those of this version; a test may add some
 * @throws {InputError} when the schema is newer than the tool, or the user may not
 */
export function prepareDatabase(
  link: Link,
  { halfAfter }: Pick<MemoryRules, 'halfAfter'>,
  migrations: readonly Migration[] = MIGRATIONS,
): Promise<Prepared> {
  return link.alone(async (client) => {
    await client.query(`select pg_advisory_lock(${LOCK})`);
    await inTransaction(client, async () => {
      await client.query('create schema if not exists trace_short');
      await client.query(`create table if not exists trace_short.version
        (number integer primary key, what text not null, applied timestamptz not null default now())`);
      await client.query(BENCH_ROLE);
    });
    const { rows } = await client.query(
      'select coalesce(max(number), 0) as number from trace_short.version',
    );
    const held = Number(rows[0]?.number ?? 0);
    if (held > migrations.length) throw tooOld(held, migrations.length);
    const missing = migrations.filter(({ number }) => number > held);
    for (const migration of missing) await apply(client, migration);
    await keepRules(client, halfAfter);
    return {
      applied: missing.map(({ number }) => number),
      schema: migrations.length,
      halfAfter,
    };
  });
}

async function apply(client: PlainClient, { number, what, sql }: Migration): Promise<void> {
  await inTransaction(client, async () => {
    await client.query(sql);
    await client.query('insert into trace_short.version (number, what) values ($1, $2)', [
      number,
      what,
    ]);
  });
}

/** How fast jobs fade is one figure for all benches: their sums are kept by it. */
async function keepRules(client: PlainClient, halfAfter: number): Promise<void> {
  await inTransaction(client, async () => {
    const { rowCount } = await client.query(
      `insert into trace_short.shop (half_after) values ($1)
       on conflict (one) do update set half_after = excluded.half_after
       where shop.half_after <> excluded.half_after`,
      [halfAfter],
    );
    if ((rowCount ?? 0) > 0) await client.query('select trace_short.recount_all()');
  });
}

async function inTransaction(client: PlainClient, work: () => Promise<void>): Promise<void> {
  await client.query('begin');
  try {
    await work();
    await client.query('commit');
  } catch (error) {
    // A connection that broke takes its transaction with it.
    await client.query('rollback').catch(() => undefined);
    throw error;
  }
}

/** The database was made ready by a newer version of the tool. */
export function tooOld(held: number, known: number): InputError {
  return new InputError([
    {
      code: 'SHOP_DATABASE',
      severity: 'error',
      message: `the shop's memory has form ${held}, and this version of trace-short knows ${known}`,
      hint: 'update trace-short on this bench',
    },
  ]);
}
