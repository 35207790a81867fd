import { spawn } from 'node:child_process';
import { once } from 'node:events';
import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { hostname, tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { parse } from 'yaml';
import { InputError } from '../../src/board/diagnostic.ts';
import { meterFrom } from '../../src/circuit/meter-figures.ts';
import { loadMeters } from '../../src/circuit/meter-file.ts';
import { NODE_DESK } from '../../src/job/disk.ts';
import { readRecord } from '../../src/job/read-record.ts';
import { append, closeJob, continueJob, createJob, openJob } from '../../src/job/record.ts';
import { timeSpent } from '../../src/job/time-spent.ts';
import { failingDisk, refusing, tickingDesk } from './fake-desk.ts';
import { tinyBoard } from './tiny-board.ts';

const board = tinyBoard();
const SAYS = ['P48 GND beep', 'lift W3', 'note "quoted", Ωµ #: {x}', 'P48 GND quiet'];
let folder: string;
let path: string;

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'job-record-'));
  path = join(folder, 'job.yaml');
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

function writeJob(says: readonly string[] = SAYS): string {
  const handle = createJob(path, board, { desk: tickingDesk() });
  for (const say of says) append(handle, say);
  closeJob(handle);
  return readFileSync(path, 'utf8');
}

function sayings(): string[] {
  return openJob(path).events.map((event) => event.say);
}

function messageOf(work: () => unknown): string {
  try {
    work();
  } catch (error) {
    if (error instanceof InputError) return error.message;
    throw error;
  }
  throw new Error('nothing was thrown');
}

describe('the file', () => {
  it('is one YAML list, and each line is valid YAML by itself', () => {
    const text = writeJob();
    const whole: unknown = parse(text);
    const lines = text.trimEnd().split('\n');
    expect(lines.map((line): unknown => (parse(line) as unknown[])[0])).toEqual(whole);
    expect(whole).toMatchObject([
      {
        n: 1,
        at: '2026-11-24T10:00:01.000Z',
        open: { board: 'Tiny hoist', revision: '3', version: 1 },
      },
      { n: 2, say: 'P48 GND beep' },
      { n: 3, say: 'lift W3' },
      { n: 4, say: 'note "quoted", Ωµ #: {x}' },
      { n: 5, say: 'P48 GND quiet' },
    ]);
  });

  it('gives back what was said, with the line of each event', () => {
    writeJob();
    const job = openJob(path);
    expect(job.opening).toEqual({
      board: 'Tiny hoist',
      revision: '3',
      file: 'tiny.yaml',
      digest: board.digest,
      purpose: 'repair',
      version: 1,
    });
    expect(job.events.map(({ say, n, line }) => [n, line, say])).toEqual(
      SAYS.map((say, at) => [at + 2, at + 2, say]),
    );
    expect(job.warnings).toEqual([]);
  });

  it('keeps any text whole', () => {
    const text = fc.oneof(
      fc.string({ unit: 'binary' }),
      fc.constantFrom('\u2028', '\u0085', '\ud800', '\ufeff', '\u007f'),
    );
    fc.assert(
      fc.property(fc.array(text, { minLength: 1, maxLength: 5 }), (says) => {
        rmSync(path, { force: true });
        const file = writeJob(says);
        expect(sayings()).toEqual(says);
        expect(file.trimEnd().split('\n')).toHaveLength(says.length + 1);
        expect(parse(file)).toMatchObject([{ n: 1 }, ...says.map((say) => ({ say }))]);
      }),
      { numRuns: 40 },
    );
  });

  it('is never written over', () => {
    const before = writeJob();
    expect(messageOf(() => createJob(path, board))).toContain('it exists already');
    expect(readFileSync(path, 'utf8')).toBe(before);
    expect(readdirSync(folder)).toEqual(['job.yaml']);
  });

  it('goes on where it stood', () => {
    writeJob();
    const handle = continueJob(path, tickingDesk());
    expect(append(handle, 'undo')).toMatchObject({ n: 6, line: 6, say: 'undo' });
    closeJob(handle);
    expect(sayings()).toEqual([...SAYS, 'undo']);
  });

  it('puts up with blank lines, comments and other line ends that a person left', () => {
    const text = writeJob();
    writeFileSync(path, `# my notes\r\n\n${text.replaceAll('\n', '\r\n')}`);
    expect(sayings()).toEqual(SAYS);
    const handle = continueJob(path, tickingDesk());
    append(handle, 'undo');
    closeJob(handle);
    expect(openJob(path).events.at(-1)).toMatchObject({ n: 6, line: 8 });
  });
});

describe('damage', () => {
  it('at every cut, keeps each event whose bytes are whole, and the job goes on', () => {
    const text = writeJob();
    const bytes = Buffer.from(text);
    const ends = [...bytes.entries()].flatMap(([at, byte]) => (byte === 0x0a ? [at] : []));
    for (let cut = 0; cut <= bytes.length; cut++) {
      writeFileSync(path, bytes.subarray(0, cut));
      const whole = ends.filter((end) => end <= cut).length;
      if (whole === 0) {
        expect(messageOf(() => openJob(path))).toContain('holds no whole event');
        continue;
      }
      const job = openJob(path);
      expect(job.events.map((event) => event.say)).toEqual(SAYS.slice(0, whole - 1));
      const isClean = ends.includes(cut) || ends.includes(cut - 1);
      expect(job.warnings.map((warning) => warning.code)).toEqual(isClean ? [] : ['TORN_LINE']);
      const handle = continueJob(path, tickingDesk());
      append(handle, 'note after the cut');
      closeJob(handle);
      expect(sayings()).toEqual([...SAYS.slice(0, whole - 1), 'note after the cut']);
    }
  });

  it.each([
    [
      'changed',
      (lines: string[]) => lines.with(2, (lines[2] ?? '').replace('W3', 'W4')),
      3,
      'event 3 is not as it was written',
    ],
    [
      'taken out',
      (lines: string[]) => lines.toSpliced(2, 1),
      3,
      'event 3 is missing before event 4',
    ],
    ['no YAML', (lines: string[]) => lines.with(2, '- {n: 3, at: "'), 3, 'line 3 is not an event'],
    [
      'swapped',
      (lines: string[]) => [0, 2, 1, 3, 4].map((at) => lines[at] ?? ''),
      2,
      'event 2 is missing before event 3',
    ],
    ['not of a job', () => ['parts: {}'], 1, 'line 1 is not an event'],
    [
      'the last, complete but changed',
      (lines: string[]) => lines.with(4, (lines[4] ?? '').replace('quiet', 'beep')),
      5,
      'event 5 is not as it was written',
    ],
    [
      'of a newer form',
      (lines: string[]) => lines.with(3, (lines[3] ?? '').replace('say:', 'photo: "a.jpg", say:')),
      4,
      'newer trace-short',
    ],
  ])('a line that is %s is named, and nothing is cut off', (_, damage, line, message) => {
    const lines = writeJob().trimEnd().split('\n');
    const text = `${damage(lines).join('\n')}\n`;
    writeFileSync(path, text);
    try {
      openJob(path);
      expect.unreachable();
    } catch (error) {
      const [first] = (error as InputError).diagnostics;
      expect(first?.message).toContain(message);
      expect(first?.place).toMatchObject({ file: path, line });
    }
    expect(() => continueJob(path)).toThrow(InputError);
    expect(readFileSync(path, 'utf8')).toBe(text);
    expect(existsSync(`${path}.lock`)).toBe(false);
  });

  it('survives any bytes', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 200 }), (bytes) => {
        writeFileSync(path, bytes);
        expect(() => openJob(path)).toThrow(InputError);
      }),
      { numRuns: 100 },
    );
  });
});

describe('one writer', () => {
  it('refuses a second, and says who holds the job', () => {
    const handle = createJob(path, board);
    const message = messageOf(() => continueJob(path));
    expect(message).toContain(`process ${process.pid} on`);
    append(handle, 'P48 GND beep');
    expect(sayings()).toEqual(['P48 GND beep']);
    closeJob(handle);
    closeJob(continueJob(path));
    expect(readdirSync(folder)).toEqual(['job.yaml']);
  });

  it('holds one lock for all names of a file', () => {
    const handle = createJob(path, board);
    symlinkSync(path, join(folder, 'other.yaml'));
    expect(messageOf(() => continueJob(join(folder, 'other.yaml')))).toContain(
      'is being written by',
    );
    closeJob(handle);
  });

  it('takes over from a process that died, but not from another host', () => {
    writeJob();
    const holder = { pid: 4_000_001, host: 'bench-2', since: '2026-11-24T09:00:00.000Z' };
    writeFileSync(`${path}.lock`, JSON.stringify(holder));
    expect(messageOf(() => continueJob(path, tickingDesk()))).toContain(
      'process 4000001 on bench-2',
    );
    closeJob(continueJob(path, tickingDesk({ host: 'bench-2', isRunning: () => false })));
    expect(readdirSync(folder)).toEqual(['job.yaml']);
  });

  it('takes over from before a power cut, though another process has that number now', () => {
    writeJob();
    const holder = { pid: process.pid, host: 'bench', since: '2026-11-24T09:00:00.000Z' };
    writeFileSync(`${path}.lock`, JSON.stringify(holder));
    const startedAtMs = (): number => Date.parse('2026-11-24T09:30:00Z');
    closeJob(continueJob(path, tickingDesk({ host: 'bench', startedAtMs, isRunning: () => true })));
    expect(readdirSync(folder)).toEqual(['job.yaml']);
  });

  it('is not held up by a process that was killed', async () => {
    writeJob();
    const holder = spawn(process.execPath, ['-e', 'setInterval(() => {}, 1000)']);
    const since = new Date().toISOString();
    writeFileSync(`${path}.lock`, JSON.stringify({ pid: holder.pid, host: hostname(), since }));
    expect(messageOf(() => continueJob(path))).toContain(`process ${holder.pid} on`);
    const gone = once(holder, 'exit');
    holder.kill('SIGKILL');
    await gone;
    closeJob(continueJob(path));
  });

  it('lets go only of its own lock', () => {
    const handle = createJob(path, board);
    writeFileSync(`${path}.lock`, '{"pid":1,"host":"elsewhere","since":""}');
    closeJob(handle);
    expect(existsSync(`${path}.lock`)).toBe(true);
  });

  it('does not write into a file another program changed or replaced', () => {
    writeJob();
    const handle = continueJob(path);
    writeFileSync(path, '# edited\n', { flag: 'a' });
    expect(messageOf(() => append(handle, 'undo'))).toContain('changed by another program');
    closeJob(handle);
    const again = continueJob(path);
    const text = readFileSync(path);
    renameSync(path, `${path}.old`);
    writeFileSync(path, text);
    expect(messageOf(() => append(again, 'undo'))).toContain('changed by another program');
    closeJob(again);
  });
});

describe('a disk that refuses', () => {
  it('is told in words', () => {
    mkdirSync(join(folder, 'sub'));
    expect(messageOf(() => openJob(join(folder, 'none.yaml')))).toContain('no such file');
    expect(messageOf(() => continueJob(join(folder, 'none.yaml')))).toContain('no such file');
    expect(messageOf(() => openJob(join(folder, 'sub')))).toContain('it is a folder');
    expect(messageOf(() => createJob(join(folder, 'none', 'a.yaml'), board))).toContain(
      'no such file',
    );
    const readOnly = tickingDesk({ disk: refusing('open', 'EROFS') });
    expect(messageOf(() => createJob(path, board, { desk: readOnly }))).toContain(
      'the disk is read-only',
    );
    const denied = tickingDesk({ disk: refusing('open', 'EACCES') });
    expect(messageOf(() => createJob(path, board, { desk: denied }))).toContain(
      'this user may not',
    );
    const strange = tickingDesk({ disk: refusing('open', 'EWEIRD') });
    expect(messageOf(() => createJob(path, board, { desk: strange }))).toContain('EWEIRD');
  });

  it('lets nothing half made behind when a job cannot be made', () => {
    const full = tickingDesk({ disk: { ...NODE_DESK.disk, write: fullAfterLock() } });
    expect(messageOf(() => createJob(path, board, { desk: full }))).toContain('the disk is full');
    expect(readdirSync(folder)).toEqual([]);
  });

  function fullAfterLock(): typeof NODE_DESK.disk.write {
    let calls = 0;
    return (fd, bytes, position) => {
      calls += 1;
      if (calls === 1) return NODE_DESK.disk.write(fd, bytes, position);
      throw Object.assign(new Error('full'), { code: 'ENOSPC' });
    };
  }

  it('writes on after a short write', () => {
    const write: typeof NODE_DESK.disk.write = (fd, bytes, position) =>
      NODE_DESK.disk.write(fd, bytes.subarray(0, 7), position);
    const desk = tickingDesk({ disk: { ...NODE_DESK.disk, write } });
    writeJob([]);
    const handle = continueJob(path, { ...desk, disk: { ...NODE_DESK.disk } });
    closeJob(handle);
    const slow = { ...handle, desk, fd: NODE_DESK.disk.open(path, 'r+'), isOpen: true };
    for (const say of SAYS) append(slow, say);
    NODE_DESK.disk.close(slow.fd);
    expect(sayings()).toEqual(SAYS);
  });
});

describe('whichever call of the disk fails', () => {
  /** Makes a job and says four things, repeating none; gives what was acknowledged. */
  function run(disk: typeof NODE_DESK.disk): { acknowledged: string[]; refused: string[] } {
    const acknowledged: string[] = [];
    const refused: string[] = [];
    const attempt = (say: string, work: () => void): void => {
      try {
        work();
        acknowledged.push(say);
      } catch (error) {
        expect(error).toBeInstanceOf(InputError);
        refused.push(say);
      }
    };
    let handle: ReturnType<typeof createJob> | undefined;
    attempt('open', () => {
      handle = createJob(path, board, { desk: tickingDesk({ disk }) });
    });
    const opened = handle;
    if (opened === undefined) return { acknowledged, refused };
    for (const say of SAYS) attempt(say, () => append(opened, say));
    closeJob(opened);
    return { acknowledged, refused };
  }

  function reset(): void {
    rmSync(folder, { recursive: true, force: true });
    mkdirSync(folder);
  }

  const total = ((): number => {
    const counting = failingDisk({ at: Number.POSITIVE_INFINITY, code: '' });
    folder = mkdtempSync(join(tmpdir(), 'job-record-'));
    path = join(folder, 'job.yaml');
    run(counting.disk);
    rmSync(folder, { recursive: true, force: true });
    return counting.calls();
  })();

  it.each([0, 0.5, 1])(
    'once, with %d of a failing write on the disk: what was acknowledged is there, and only that',
    (written) => {
      expect(total).toBeGreaterThan(15);
      for (let at = 1; at <= total; at++) {
        reset();
        const { acknowledged } = run(failingDisk({ at, code: 'ENOSPC', written }).disk);
        if (!acknowledged.includes('open')) {
          expect(existsSync(path) && acknowledged.length > 0).toBe(false);
          continue;
        }
        expect(sayings()).toEqual(acknowledged.filter((say) => say !== 'open'));
      }
    },
  );

  it.each([0, 0.5, 1])(
    'and the power is gone, with %d of that write on the disk: what was acknowledged is there',
    (written) => {
      for (let at = 1; at <= total; at++) {
        reset();
        const { acknowledged } = run(failingDisk({ at, code: 'EIO', written, forGood: true }).disk);
        if (!acknowledged.includes('open')) continue;
        const expected = acknowledged.filter((say) => say !== 'open');
        expect(sayings().slice(0, expected.length)).toEqual(expected);
        rmSync(`${path}.lock`, { force: true });
        const handle = continueJob(path, tickingDesk());
        append(handle, 'note back again');
        closeJob(handle);
        expect(sayings().at(-1)).toBe('note back again');
      }
    },
  );
});

describe('the meter of a job', () => {
  const meters = loadMeters(readFileSync('src/circuit/meters.yaml', 'utf8'), 'meters.yaml');

  it.each([...meters.values()])('$name is kept whole, and each line is still YAML', (meter) => {
    closeJob(createJob(path, board, { meter, desk: tickingDesk() }));
    expect(meterFrom(openJob(path).opening.meter)).toEqual(meter);
    const text = readFileSync(path, 'utf8');
    expect(meterFrom((parse(text) as { open: { meter: unknown } }[])[0]?.open.meter)).toEqual(
      meter,
    );
  });

  it('is refused with figures this version does not know', () => {
    const meter = meters.get('bench meter')!;
    closeJob(createJob(path, board, { meter, desk: tickingDesk() }));
    const newer = readFileSync(path, 'utf8').replace('leads: ', 'null-offset: 1, leads: ');
    writeFileSync(path, newer);
    expect(messageOf(() => openJob(path))).toMatch(/newer trace-short/);
  });

  it('shows when one of its figures was changed afterwards', () => {
    closeJob(createJob(path, board, { meter: meters.get('bench meter')!, desk: tickingDesk() }));
    writeFileSync(path, readFileSync(path, 'utf8').replace('amps: 0.00083', 'amps: 0.00084'));
    expect(messageOf(() => openJob(path))).toMatch(/event 1 is not as it was written/);
  });
});

describe('a byte that turned', () => {
  const text = (() => {
    folder = mkdtempSync(join(tmpdir(), 'job-record-'));
    path = join(folder, 'job.yaml');
    const written = writeJob();
    rmSync(folder, { recursive: true, force: true });
    return written;
  })();

  /** Opens a record with one byte changed; what it says, or the lines it complains of. */
  function opened(at: number, byte: number): { says?: string[]; lines?: (number | undefined)[] } {
    const bytes = Buffer.from(text);
    bytes[at] = byte;
    try {
      const job = readRecord(bytes, 'job.yaml');
      expect(job.warnings).toEqual([]);
      return { says: job.events.map((event) => event.say) };
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      return { lines: error.diagnostics.map(({ place }) => place?.line) };
    }
  }

  it('anywhere, by any bit, is named with its line, or changes nothing that was said', () => {
    const bytes = Buffer.from(text);
    for (let at = 0; at < bytes.length; at++) {
      const line = text.slice(0, at).split('\n').length;
      for (let bit = 0; bit < 8; bit++) {
        const { says, lines } = opened(at, (bytes[at] ?? 0) ^ (1 << bit));
        if (says !== undefined) expect(says).toEqual(SAYS);
        // A line break lost draws the next line in, one gained pushes the rest down.
        else expect(lines?.some((each) => Math.abs((each ?? 0) - line) <= 1)).toBe(true);
      }
    }
  });
});

describe('a clock that was set back', () => {
  it('loses nothing, and the job goes on', () => {
    let hour = 12;
    const now = (): Date => new Date(Date.UTC(2026, 10, 24, hour--));
    const handle = createJob(path, board, { desk: tickingDesk({ now }) });
    for (const say of SAYS) append(handle, say);
    closeJob(handle);
    const job = openJob(path);
    expect(job.events.map((event) => event.say)).toEqual(SAYS);
    expect(timeSpent(job.openedAt, job.events).minutes).toBe(0);
    const again = continueJob(path, tickingDesk({ now }));
    append(again, 'undo');
    closeJob(again);
    expect(sayings()).toEqual([...SAYS, 'undo']);
  });

  it('does not make a lock older than it is: its process still holds it', () => {
    writeJob();
    const since = '2030-01-01T00:00:00.000Z';
    writeFileSync(`${path}.lock`, JSON.stringify({ pid: process.pid, host: hostname(), since }));
    expect(messageOf(() => continueJob(path))).toContain('is being written by');
  });
});
