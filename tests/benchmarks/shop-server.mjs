// A PostgreSQL of its own for the benchmark of the shop's memory, from Debian's package.
import { spawnSync } from 'node:child_process';
import { chmodSync, existsSync, mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

/** Away from where a server of the machine's own would be. */
const PORT = 54_329;
/** What Debian starts with, and no waiting for the disk at each commit; the rest is PostgreSQL's default. */
const SETTINGS = ['listen_addresses=127.0.0.1', `port=${PORT}`, 'fsync=off', 'max_wal_size=4GB'];

/** Started; undefined where there are no programs to start. */
export function startServer() {
  const programs = programsFolder();
  if (programs === undefined) return undefined;
  const folder = mkdtempSync(join(tmpdir(), 'shop-bench-'));
  chmodSync(folder, 0o755);
  const isRoot = process.getuid() === 0;
  // PostgreSQL does not run as root.
  if (isRoot) run('chown', ['postgres', folder]);
  const as = (program, args) => {
    const words = [join(programs, program), ...args];
    return isRoot
      ? run('runuser', ['-u', 'postgres', '--', ...words])
      : run(words[0], words.slice(1));
  };
  const data = join(folder, 'data');
  as('initdb', [
    '-D',
    data,
    '--auth=trust',
    '--username=postgres',
    '--locale=C.UTF-8',
    '--no-sync',
  ]);
  const words = [...SETTINGS, `unix_socket_directories=${folder}`].map((each) => `-c ${each}`);
  as('pg_ctl', ['-D', data, '-l', join(folder, 'log'), '-w', '-o', words.join(' '), 'start']);
  return {
    url: (database, user = 'postgres') => `postgres://${user}@127.0.0.1:${PORT}/${database}`,
    psql: [join(programs, 'psql'), '-h', '127.0.0.1', '-p', String(PORT), '-U', 'postgres'],
    stop() {
      as('pg_ctl', ['-D', data, '-w', '-m', 'immediate', 'stop']);
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

function programsFolder() {
  const { TRACE_SHORT_POSTGRES: said } = process.env;
  if (said) return said;
  const root = '/usr/lib/postgresql';
  if (!existsSync(root)) return undefined;
  const newest = readdirSync(root)
    .sort((x, y) => Number(x) - Number(y))
    .at(-1);
  return join(root, newest ?? '', 'bin');
}

function run(command, args) {
  const { status } = spawnSync(command, args, {
    stdio: ['ignore', 'ignore', 'inherit'],
    cwd: tmpdir(),
  });
  if (status !== 0) throw new Error(`${command} ${args.join(' ')} failed`);
}
