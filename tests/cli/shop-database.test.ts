import { copyFileSync, existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { hasServer, Server } from '../job/memory/database/server.ts';
import { call } from './call.ts';
import { scratchFolder } from './scratch.ts';

const records = fileURLToPath(new URL('cases/next-of-a-known-model', import.meta.url));

describe.skipIf(!hasServer)('a shop whose benches share a database', () => {
  let server: Server;
  const benches: ReturnType<typeof scratchFolder>[] = [];
  beforeAll(async () => {
    server = await Server.started();
  });
  afterEach(() => {
    for (const bench of benches.splice(0)) bench.remove();
  });
  afterAll(() => server.remove());

  /** A bench with some of the job records, and the real command run at it. */
  function benchWith(database: string, names: readonly string[], settings = '') {
    const bench = scratchFolder();
    benches.push(bench);
    const { cwd } = bench;
    for (const name of names) copyFileSync(join(records, name), join(cwd, name));
    if (settings !== '') writeFileSync(join(cwd, 'trace-short.yaml'), settings);
    const env = { PGPASSWORD: server.env('bench1').PGPASSWORD ?? '', TRACE_SHORT_SHOP: '' };
    const shop = ['--shop', server.url(database, 'bench1')];
    return {
      cwd,
      run: (...words: string[]) => call([...words, ...shop], { cwd, env }),
      plainly: (...words: string[]) => call(words, { cwd, env }),
    };
  }

  it('learns on one bench what the other found, and counts each record once', async () => {
    const database = await server.newDatabase();
    const one = benchWith(database, ['lamp-1.yaml', 'lamp-2.yaml']);
    const other = benchWith(database, ['lamp-2.yaml', 'lamp-3.yaml', 'lamp-4.yaml']);
    expect(one.run('memory')).toMatchObject({ exit: 0, stderr: '' });
    const told = other.run('memory');
    expect(told.stdout).toBe(readFileSync(join(records, '../memory-overview/stdout.txt'), 'utf8'));
    const opened = one.run('start', 'lamp.yaml', '-o', 'new.yaml');
    expect(opened.exit).toBe(0);
    const alone = benchWith(
      database,
      readdirSync(records).filter((name) => /^lamp/.test(name)),
    );
    alone.plainly('start', 'lamp.yaml', '-o', 'new.yaml');
    const figures = ({ cwd }: { cwd: string }) =>
      /memory: \{.*?\}(?=, (?:reference|version))/.exec(
        readFileSync(join(cwd, 'new.yaml'), 'utf8').split('\n')[0] ?? '',
      )?.[0];
    expect(figures(one)).toBeDefined();
    expect(sorted(figures(one))).toEqual(sorted(figures(alone)));
  });

  it('hands a job in when it is signed off, and lets no word of the customer out', async () => {
    const database = await server.newDatabase();
    const one = benchWith(database, []);
    one.run('start', 'lamp.yaml', '-o', 'job.yaml');
    const lines = [
      'customer Ms Meyer, trips the breaker',
      'arrived no light',
      'remove D1',
      'off D1: A K 0.2 ohm',
    ];
    const rest = ['replace D1', 'sign-off uneconomic'];
    const logged = one.run('log', 'job.yaml', ...lines, ...rest);
    expect(logged).toMatchObject({ exit: 0 });
    const rows = await server.asRoot(database, [
      `select j.lesson::text as lesson, (select count(*)::integer from trace_short.words) as words
       from trace_short.job j`,
    ]);
    expect(rows).toHaveLength(1);
    expect(rows[0]).toMatchObject({ words: 0, lesson: expect.stringContaining('D1') });
    expect(rows[0]?.lesson).not.toMatch(/Meyer|no light/);
  });

  it('lets customers’ words in where the settings say so, and shows them', async () => {
    const database = await server.newDatabase();
    const settings = `memory: {database: "${server.url(database, 'bench1')}", customers-words: true}\n`;
    const bench = benchWith(database, ['lamp-1.yaml'], settings);
    const shown = bench.plainly('memory', 'Workbench lamp driver', '--json');
    expect(JSON.parse(shown.stdout)).toMatchObject({ records: [{ customer: 'no light' }] });
    bench.plainly('memory', '--export', 'all.json');
    expect(readFileSync(join(bench.cwd, 'all.json'), 'utf8')).not.toContain('no light');
  });

  it('works on while the server is away, and hands in afterwards', async () => {
    const database = await server.newDatabase();
    const bench = benchWith(database, ['lamp-1.yaml']);
    bench.run('start', 'lamp.yaml', '-o', 'first.yaml');
    server.stop();
    try {
      copyFileSync(join(records, 'lamp-2.yaml'), join(bench.cwd, 'lamp-2.yaml'));
      const opened = bench.run('start', 'lamp.yaml', '-o', 'second.yaml');
      expect(opened.exit).toBe(0);
      expect(opened.stderr.replace(/\s+/g, ' ')).toMatch(
        /shop's memory at 127\.0\.0\.1:\d+\/shop_\d+ cannot be reached \(nothing answers there\): working from the copy of \d{4}-\d\d-\d\d \d\d:\d\d UTC; 2 jobs wait to be handed in\./,
      );
      const asked = bench.run('memory');
      expect(asked.exit).toBe(2);
      expect(asked.stderr).toContain('error[SHOP_AWAY]');
    } finally {
      await server.start();
    }
    const back = JSON.parse(bench.run('memory', '--json').stdout);
    expect(back.models).toMatchObject([{ teaching: 2, jobs: 4 }]);
    expect(bench.run('memory', '--json').stdout).toContain('"jobs": 4');
  });

  it('is made ready by its owner alone, once', async () => {
    await server.asRoot('postgres', ['create database bare owner keeper']);
    const { cwd } = benchWith('bare', []);
    const as = (user: 'keeper' | 'bench1', ...words: string[]) =>
      call(['memory', ...words, '--shop', server.url('bare', user)], {
        cwd,
        env: { PGPASSWORD: server.env(user).PGPASSWORD ?? '' },
      });
    const before = as('bench1');
    expect(before.exit).toBe(2);
    expect(before.stderr).toContain('not prepared for a memory');
    expect(before.stderr).toContain('trace-short memory --prepare');
    expect(as('bench1', '--prepare').stderr).toContain('"bench1" may not do that');
    expect(as('keeper', '--prepare').stdout).toContain('is ready');
    expect(as('keeper', '--prepare').stdout).toContain('was up to date');
    expect(as('bench1').exit).toBe(0);
  });

  it('opens no job on a database that refuses, and says how to work meanwhile', async () => {
    const database = await server.newDatabase();
    const { cwd } = benchWith(database, []);
    const shop = ['--shop', server.url(database, 'bench1')];
    const words = ['start', 'lamp.yaml', '-o', 'job.yaml'];
    const refused = call([...words, ...shop], { cwd, env: { PGPASSWORD: 'wrong' } });
    expect(refused.exit).toBe(2);
    expect(refused.stderr).toContain('the password of "bench1" is not taken');
    expect(refused.stderr).toContain('--shop none');
    expect(existsSync(join(cwd, 'job.yaml'))).toBe(false);
    expect(call([...words, '--shop', 'none'], { cwd }).exit).toBe(0);
  });

  it('puts right what all benches learn from', async () => {
    const database = await server.newDatabase();
    const one = benchWith(database, ['lamp-1.yaml', 'lamp-2.yaml']);
    one.run('memory');
    const other = benchWith(database, []);
    const { records: jobs } = JSON.parse(
      other.run('memory', 'Workbench lamp driver', '--json').stdout,
    );
    other.run('memory', '--forget', jobs[0].job);
    expect(one.run('memory').stdout).toContain('1 job,');
    expect(one.run('memory', '--rebuild').stdout).toContain('Read anew: 1 job');
    other.run('memory', '--recall', jobs[0].job);
    expect(one.run('memory').stdout).toContain('2 jobs,');
  });
});

/** The signs of a text, in order: names in a map may come in another order. */
function sorted(text = ''): string[] {
  return text
    .split(/[{},]/)
    .map((each) => each.trim())
    .sort();
}
