import { spawn, spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync, statfsSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { InputError } from '../../../../src/board/diagnostic.ts';
import type { SumRow } from '../../../../src/job/memory/database/counts.ts';
import { DatabaseStore } from '../../../../src/job/memory/database/database-store.ts';
import type { Link } from '../../../../src/job/memory/database/link.ts';
import { ShopAway } from '../../../../src/job/memory/database/link-problem.ts';
import {
  MIGRATIONS,
  type Migration,
} from '../../../../src/job/memory/database/migrations/index.ts';
import { prepareDatabase } from '../../../../src/job/memory/database/prepare.ts';
import { type ShopStore, shopStore } from '../../../../src/job/memory/database/shop-store.ts';
import type { Lesson } from '../../../../src/job/memory/lesson.ts';
import { folderBench, removeFolders } from '../folder-bench.ts';
import { foundFailed, madeLesson } from '../made-lesson.ts';
import { CuttingProxy } from './cutting-proxy.ts';
import { hasServer, own, Server } from './server.ts';

const CHILD = fileURLToPath(new URL('./hand-in-child.mjs', import.meta.url));
const RULES = { strength: 20, halfAfter: 200 };
const BOARD = { board: 'Hoist' };

const lesson = (n: number, board = 'Hoist'): Lesson =>
  madeLesson(n, { board, failed: [foundFailed('Q1', 'n-mosfet', n % 2 === 0 ? 'short' : 'open')] });

describe.skipIf(!hasServer)('the shop’s memory when things go wrong', () => {
  let server: Server;
  const links: Link[] = [];
  const proxies: CuttingProxy[] = [];
  beforeAll(async () => {
    server = await Server.started();
  });
  afterEach(async () => {
    for (const link of links.splice(0)) await link.close();
    for (const proxy of proxies.splice(0)) proxy.stop();
    removeFolders();
  });
  afterAll(() => server.remove());

  function linked(...words: Parameters<Server['link']>): Link {
    const link = server.link(...words);
    links.push(link);
    return link;
  }

  async function proxied(to?: number): Promise<CuttingProxy> {
    const proxy = await CuttingProxy.started(to);
    proxies.push(proxy);
    return proxy;
  }

  /** A bench with its folder; notes are what it told its person. */
  function benchOn(link: Link) {
    const bench = folderBench();
    const notes: string[] = [];
    const note = (text: string): number => notes.push(text);
    const open = (by: Link = link): ShopStore =>
      shopStore({ local: bench.open(), folder: bench.folder, link: by, note });
    return { ...bench, open, notes };
  }

  /** Jobs that the database holds, after seeing that its sums are those of a count made anew. */
  async function countedJobs(database: string): Promise<string[]> {
    const store = new DatabaseStore(linked(database));
    const grown = await store.sums(BOARD);
    await server.asRoot(database, ['select trace_short.recount_all()']);
    expectAlike(grown, await store.sums(BOARD));
    return (await store.lessons()).map(({ job }) => job);
  }

  it('a line cut anywhere in a hand-in loses no job and counts none twice', async () => {
    const database = await server.newDatabase();
    const proxy = await proxied(server.port);
    // How much passes in a whole hand-in, connecting included.
    const probe = benchOn(linked(database, 'bench1', { port: proxy.port }));
    probe.record('probe.yaml', lesson(0));
    await probe.open().handIn();
    const whole = { ...proxy.passed };
    let lost = 0;
    let n = 0;
    for (const way of ['up', 'down'] as const) {
      for (let tenth = 1; tenth < 10; tenth++) {
        n += 1;
        const bench = benchOn(linked(database, 'bench1', { port: proxy.port }));
        bench.record('a.yaml', lesson(n));
        proxy[way] = Math.floor((whole[way] * tenth) / 10);
        const { taken, waiting, problem } = await bench.open().handIn();
        proxy[way] = undefined;
        if (problem !== undefined) {
          lost += 1;
          expect(problem).toBeInstanceOf(ShopAway);
          expect([taken, waiting]).toEqual([0, 1]);
        }
        expect((await bench.open(linked(database)).handIn()).waiting).toBe(0);
      }
    }
    expect(lost).toBeGreaterThan(10);
    expect(await countedJobs(database)).toHaveLength(n + 1);
  });

  it('a server process killed in the middle of a write leaves nothing of it, and the job waits', async () => {
    const database = await server.newDatabase();
    const bench = benchOn(linked(database));
    bench.record('a.yaml', lesson(1));
    const kill = await heldUp(database, 'hand_in');
    const [handed] = await Promise.all([bench.open().handIn(), kill()]);
    expect(handed).toMatchObject({ taken: 0, waiting: 1 });
    expect(await countedJobs(database)).toEqual([]);
    expect(await bench.open().handIn()).toMatchObject({ taken: 1, waiting: 0 });
    expect(await countedJobs(database)).toEqual(['job-1']);
  });

  it('a server that crashes and comes back is gone on with, on the link that was open', async () => {
    const database = await server.newDatabase();
    const bench = benchOn(linked(database));
    bench.record('a.yaml', lesson(1));
    const before = await bench.open().past(BOARD, RULES);
    server.stop('immediate');
    await server.start();
    bench.record('b.yaml', lesson(2));
    const after = await bench.open().past(BOARD, RULES);
    expect([before?.own.boards, after?.last.boards]).toEqual([1, 2]);
    expect(bench.notes).toEqual([]);
    expect(await countedJobs(database)).toHaveLength(2);
  });

  it('a bench whose network is away works from its last copy, and waits for an answer once', async () => {
    const database = await server.newDatabase();
    const bench = benchOn(linked(database));
    bench.record('a.yaml', lesson(1));
    bench.record('b.yaml', lesson(2, 'Charger'));
    const known = await bench.open().past(BOARD, RULES);
    const hole = await proxied();
    const away = linked(database, 'bench1', { port: hole.port, connectMs: 150 });
    // Another address is another database: what was handed in to the one says nothing of the other.
    const copies = shopStoreAt(bench, away, linked(database));
    bench.record('c.yaml', lesson(3));
    expect(await copies.past(BOARD, RULES)).toEqual(known);
    expect(bench.notes.at(-1)).toMatch(
      /\(it does not answer\): working from the copy of .*; 1 job waits/,
    );
    const unseen = await copies.past({ board: 'Never seen' }, RULES);
    expect(unseen?.own.boards).toBe(0);
    expect(unseen?.others.boards).toBe(2);
    expect(hole.connections).toBe(1);
  });

  it('a bench that never had a copy works from its own records', async () => {
    const hole = await proxied();
    const bench = benchOn(linked('shop_none', 'bench1', { port: hole.port, connectMs: 150 }));
    bench.record('a.yaml', lesson(1));
    expect((await bench.open().past(BOARD, RULES))?.own.boards).toBe(1);
    expect(bench.notes.at(-1)).toContain("working from this bench's own records; 1 job waits");
  });

  it('two benches that hand in at once, some records on both, count each job once', async () => {
    const database = await server.newDatabase();
    const all = Array.from({ length: 45 }, (_, n) => lesson(n, n % 3 === 0 ? 'Charger' : 'Hoist'));
    const url = server.url(database, 'bench1');
    const runs = [all.slice(0, 30), all.slice(15).reverse()].map((lessons) =>
      childBench(url, server.env('bench1'), lessons),
    );
    const became = (await Promise.all(runs)).flat();
    expect(became.filter((each) => each === 'new')).toHaveLength(45);
    expect(became.filter((each) => each === 'same')).toHaveLength(15);
    expect(await countedJobs(database)).toHaveLength(45);
    const charger = await new DatabaseStore(linked(database)).sums({ board: 'Charger' });
    const boards = charger.find(({ of, what }) => of === 'model' && what === 'boards');
    const faded = Array.from({ length: 15 }, (_, after) => 2 ** (-after / 200));
    expect(boards?.figures[0]).toBeCloseTo(
      faded.reduce((a, b) => a + b),
      9,
    );
  });

  it('a job that can never be kept is told once, and holds up no other', async () => {
    const database = await server.newDatabase();
    const bench = benchOn(linked(database));
    bench.record('a.yaml', { ...lesson(1), renewed: ['C\u00001'] });
    bench.record('b.yaml', lesson(2));
    expect(await bench.open().handIn()).toMatchObject({ waiting: 0 });
    expect(bench.notes).toHaveLength(1);
    expect(bench.notes[0]).toMatch(/"a\.yaml" teaches is left out of the shop's memory/);
    await bench.open().handIn();
    expect(bench.notes).toHaveLength(1);
    expect(await countedJobs(database)).toEqual(['job-2']);
  });

  it('an older copy of a record changes nothing', async () => {
    const database = await server.newDatabase();
    const store = new DatabaseStore(linked(database));
    expect(await store.handIn(lesson(5))).toBe('new');
    expect(await store.handIn({ ...lesson(5), at: '2020-01-01T00:00:00.000Z' })).toBe('older');
    expect(await store.handIn({ ...lesson(5), renewed: ['C1'] })).toBe('changed');
    expect(await store.handIn({ ...lesson(5), renewed: ['C1'] })).toBe('same');
    expect(await store.lessonsOf('Hoist')).toEqual([{ ...lesson(5), renewed: ['C1'] }]);
  });

  const next: Migration = {
    number: MIGRATIONS.length + 1,
    what: 'a trial',
    sql: 'create table trace_short.trial (n integer); select pg_advisory_xact_lock(77)',
  };
  const isThere = async (database: string) => {
    const rows = await server.asRoot(database, [
      `select to_regclass('trace_short.trial') is not null as is_there,
              (select max(number) from trace_short.version) as form`,
    ]);
    return rows[0];
  };

  it('a migration that is interrupted leaves the form it began from; the next run completes it', async () => {
    const database = await server.newDatabase();
    const owner = linked(database, 'keeper');
    const store = new DatabaseStore(linked(database));
    await store.handIn(lesson(1));
    const kill = await heldUp(database, 'trial', '77');
    const cut = prepareDatabase(owner, RULES, [...MIGRATIONS, next]);
    await Promise.all([expect(cut).rejects.toThrow(), kill()]);
    expect(await isThere(database)).toEqual({ is_there: false, form: MIGRATIONS.length });
    expect(await store.sums(BOARD)).not.toHaveLength(0);
    const done = await Promise.all([
      prepareDatabase(owner, RULES, [...MIGRATIONS, next]),
      prepareDatabase(linked(database, 'keeper'), RULES, [...MIGRATIONS, next]),
    ]);
    expect(done.flatMap(({ applied }) => applied)).toEqual([next.number]);
    expect(await isThere(database)).toEqual({ is_there: true, form: next.number });
  });

  it('an older tool refuses a newer form in words', async () => {
    const database = await server.newDatabase();
    await prepareDatabase(linked(database, 'keeper'), RULES, [...MIGRATIONS, next]);
    const bench = benchOn(linked(database));
    await expect(bench.open().past(BOARD, RULES)).rejects.toThrow(InputError);
    await expect(bench.open().past(BOARD, RULES)).rejects.toThrow(/form 2, and this version/);
    await expect(prepareDatabase(linked(database, 'keeper'), RULES)).rejects.toThrow(/form 2/);
  });

  it('how fast jobs fade can be changed by the owner, and all is counted anew by it', async () => {
    const database = await server.newDatabase();
    const store = new DatabaseStore(linked(database));
    for (let n = 0; n < 5; n++) await store.handIn(lesson(n));
    await prepareDatabase(linked(database, 'keeper'), { halfAfter: 1 });
    const boards = (await store.sums(BOARD)).find(({ what }) => what === 'boards');
    expect(boards?.figures[0]).toBeCloseTo(1.9375, 9);
    // So fast that powers of two would leave the range of numbers.
    await server.asRoot(database, [
      "select trace_short.hand_in('far-' || n, 'Hoist', '2027-' || lpad(n::text, 6, '0'), 1, n::text, '{}', '{\"boards\": {\"\": [1, 0, 0]}}', null) from generate_series(1, 700) n",
    ]);
    const far = (await store.sums(BOARD)).find(({ what }) => what === 'boards');
    expect(far?.figures[0]).toBeCloseTo(2, 9);
  }, 60_000);

  it.skipIf(!canMount())(
    '(where one may be mounted) a full disk takes nothing in, keeps what it has and can be read',
    async () => {
      const place = join(server.folder, 'small');
      mkdirSync(place);
      mount('size=24m', place);
      try {
        own(place);
        await server.asRoot('postgres', [
          `create tablespace small location '${place}'`,
          'create database tight template made_ready owner keeper tablespace small',
        ]);
        const link = linked('tight');
        const bench = benchOn(link);
        let n = 0;
        const more = (): void => {
          n += 1;
          // Text that does not pack down.
          const renewed = Array.from({ length: 4000 }, (_, k) =>
            ((n * 7919 + k) * 2654435761).toString(36),
          );
          bench.record(`${n}.yaml`, { ...lesson(n), renewed });
        };
        more();
        let handed = await bench.open().handIn();
        const { bavail, bsize } = statfsSync(place);
        const ballast = join(place, 'ballast');
        writeFileSync(ballast, Buffer.alloc(bavail * bsize - 1_000_000));
        while (handed.problem === undefined && n < 200) {
          more();
          handed = await bench.open().handIn();
        }
        expect(handed).toMatchObject({ taken: 0, waiting: 1 });
        expect(handed.problem).toMatchObject({ how: 'full', why: "the server's disk is full" });
        const past = await bench.open().past(BOARD, RULES);
        expect(past?.last.boards).toBe(Math.min(40, n - 1));
        expect(bench.notes.at(-1)).toMatch(
          /takes nothing in \(the server's disk is full\); 1 job waits/,
        );
        rmSync(ballast);
        expect(await bench.open().handIn()).toMatchObject({ taken: 1, waiting: 0 });
        expect(await new DatabaseStore(link).lessons()).toHaveLength(n);
        await link.close();
        await server.asRoot('postgres', [
          'drop database tight with (force)',
          'drop tablespace small',
        ]);
      } finally {
        spawnSync('umount', ['-l', place]);
      }
    },
    60_000,
  );

  /**
   * Holds up whoever comes to a lock.
   * @param text of the statement that is held up
   * @returns kills the server process that waits there
   */
  async function heldUp(
    database: string,
    text: string,
    lock = "hashtext('trace_short memory')",
  ): Promise<() => Promise<void>> {
    const root = await server.root(database);
    await root.query(`select pg_advisory_lock(${lock})`);
    return async () => {
      for (let killed = 0; killed === 0; ) {
        const { rows } = await root.query(
          `select pg_terminate_backend(pid) from pg_stat_activity
           where wait_event = 'advisory' and query like '%${text}%'`,
        );
        killed = rows.length;
      }
      await root.end();
    };
  }

  /** As another folder of the same bench would have it whose address is the other link's. */
  function shopStoreAt(bench: ReturnType<typeof benchOn>, away: Link, named: Link): ShopStore {
    Object.defineProperty(away, 'address', {
      value: { ...away.address, shown: named.address.shown },
    });
    return bench.open(away);
  }
});

function expectAlike(grown: readonly SumRow[], anew: readonly SumRow[]): void {
  const named = (rows: readonly SumRow[]) =>
    new Map(rows.map(({ of, what, key, figures }) => [`${of} ${what} ${key}`, figures]));
  const [one, other] = [named(grown), named(anew)];
  expect([...one.keys()].sort()).toEqual([...other.keys()].sort());
  for (const [name, figures] of one) {
    figures.forEach((figure, at) => {
      expect(figure, name).toBeCloseTo(other.get(name)?.[at] ?? Number.NaN, 9);
    });
  }
}

function childBench(
  url: string,
  env: NodeJS.ProcessEnv,
  lessons: readonly Lesson[],
): Promise<string[]> {
  return new Promise((resolve, reject) => {
    const child = spawn(process.execPath, [CHILD, url], {
      env,
      stdio: ['pipe', 'pipe', 'inherit'],
    });
    let told = '';
    child.stdout.on('data', (text) => {
      told += text;
    });
    child.on('error', reject);
    child.on('close', () => resolve(JSON.parse(told)));
    child.stdin.end(JSON.stringify(lessons));
  });
}

function mount(how: string, place: string): void {
  const words = ['-t', 'tmpfs', '-o', how, 'tmpfs', place];
  if (spawnSync('mount', words).status !== 0) throw new Error(`mount ${how} failed`);
}

function canMount(): boolean {
  if (!hasServer) return false;
  const probe = mkdtempSync(join(tmpdir(), 'shop-mount-'));
  writeFileSync(join(probe, 'x'), '');
  const isDone = spawnSync('mount', ['-t', 'tmpfs', '-o', 'size=64k', 'tmpfs', probe]).status === 0;
  if (isDone) spawnSync('umount', [probe]);
  rmSync(probe, { recursive: true });
  return isDone;
}
