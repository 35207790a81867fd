import { spawn, spawnSync } from 'node:child_process';
import { chmodSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { openJob } from '../../src/job/record.ts';
import { call } from './call.ts';
import { LAMP, scratchFolder } from './scratch.ts';
import { BIN } from './terminal.ts';

let folder: ReturnType<typeof scratchFolder>;

beforeEach(() => {
  folder = scratchFolder();
});
afterEach(() => folder.remove());

const cwd = (): string => folder.cwd;
const said = (path: string): string[] => openJob(join(cwd(), path)).events.map(({ say }) => say);

function start(path = 'job.yaml'): void {
  const { exit, stderr } = call(['start', 'lamp.yaml', '-o', path], { cwd: cwd() });
  expect(exit, stderr).toBe(0);
}

/** Whether a small file system may be mounted here: only root may, and not in every container. */
const canMount = ((): boolean => {
  const probe = scratchFolder();
  mkdirSync(join(probe.cwd, 'm'));
  const { status } = spawnSync('mount', [
    '-t',
    'tmpfs',
    '-o',
    'size=16k',
    'tmpfs',
    join(probe.cwd, 'm'),
  ]);
  if (status === 0) spawnSync('umount', [join(probe.cwd, 'm')]);
  probe.remove();
  return status === 0;
})();

describe('a disk that fills up', () => {
  it.skipIf(!canMount)(
    '(where one may be mounted) refuses the line in words, keeps all before it, and goes on once there is room',
    () => {
      const disk = join(cwd(), 'disk');
      mkdirSync(disk);
      expect(spawnSync('mount', ['-t', 'tmpfs', '-o', 'size=24k', 'tmpfs', disk]).status).toBe(0);
      try {
        start('disk/job.yaml');
        writeFileSync(join(disk, 'ballast'), 'x'.repeat(12_000));
        const notes: string[] = [];
        for (let n = 0; ; n++) {
          const note = `note ${n} ${'x'.repeat(900)}`;
          const { exit, stderr } = call(['log', 'disk/job.yaml', note], { cwd: cwd() });
          if (exit !== 0) {
            expect(exit).toBe(2);
            expect(stderr).toMatch(
              /event \d+ was not recorded in "disk\/job.yaml": the disk is full|cannot lock "disk\/job.yaml": the disk is full/,
            );
            expect(stderr).toMatch(/free some room and say it again/);
            break;
          }
          notes.push(note);
          expect(n).toBeLessThan(30);
        }
        expect(said('disk/job.yaml')).toEqual(notes);
        expect(call(['next', 'disk/job.yaml'], { cwd: cwd() }).exit).toBe(0);
        spawnSync('rm', [join(disk, 'ballast')]);
        expect(call(['log', 'disk/job.yaml', 'note room again'], { cwd: cwd() }).exit).toBe(0);
        expect(said('disk/job.yaml')).toEqual([...notes, 'note room again']);
      } finally {
        spawnSync('umount', [disk]);
      }
    },
  );

  it('or a limit on the size of files, is told the same way', () => {
    start();
    const note = `note ${'x'.repeat(3000)}`;
    const script = `ulimit -f 1; exec "${process.execPath}" "${BIN}" log job.yaml "$1"`;
    const env = { ...process.env, TRACE_SHORT_SHOP: 'none' };
    const done = spawnSync('bash', ['-c', script, 'log', note], {
      cwd: cwd(),
      env,
      encoding: 'utf8',
    });
    expect(done.status).not.toBe(0);
    expect(said('job.yaml')).toEqual([]);
    expect(call(['log', 'job.yaml', 'note short'], { cwd: cwd() }).exit).toBe(0);
    expect(said('job.yaml')).toEqual(['note short']);
  });
});

describe('a folder that cannot be written', () => {
  const isRoot = process.getuid?.() === 0;

  it.skipIf(isRoot && !canMount)(
    '(to others than root, or where one may be mounted) is named; the job can be read all the same',
    () => {
      const place = join(cwd(), 'place');
      mkdirSync(place);
      if (canMount) spawnSync('mount', ['-t', 'tmpfs', '-o', 'size=64k', 'tmpfs', place]);
      try {
        start('place/job.yaml');
        if (canMount) spawnSync('mount', ['-o', 'remount,ro', place]);
        else chmodSync(place, 0o555);
        const before = readFileSync(join(place, 'job.yaml'), 'utf8');
        const { exit, stderr } = call(['log', 'place/job.yaml', 'note x'], { cwd: cwd() });
        expect(exit).toBe(2);
        expect(stderr).toMatch(
          /cannot lock ".*place\/job.yaml": (?:the disk is read-only|this user may not)/,
        );
        expect(readFileSync(join(place, 'job.yaml'), 'utf8')).toBe(before);
        expect(call(['next', 'place/job.yaml'], { cwd: cwd() }).exit).toBe(0);
      } finally {
        if (canMount) spawnSync('umount', [place]);
        else chmodSync(place, 0o755);
      }
    },
  );
});

describe('several runs at once', () => {
  it('record each line whole or refuse it, and none is lost', async () => {
    start();
    const env = { ...process.env, TRACE_SHORT_SHOP: 'none' };
    const runs = Array.from({ length: 6 }, (_, n) => {
      const child = spawn(process.execPath, [BIN, 'log', 'job.yaml', `note run ${n}`], {
        cwd: cwd(),
        env,
        stdio: 'ignore',
      });
      return new Promise<{ n: number; exit: number | null }>((resolve) => {
        child.on('exit', (exit) => resolve({ n, exit }));
      });
    });
    const ends = await Promise.all(runs);
    expect(ends.every(({ exit }) => exit === 0 || exit === 2)).toBe(true);
    const recorded = ends.filter(({ exit }) => exit === 0).map(({ n }) => `note run ${n}`);
    expect(recorded.length).toBeGreaterThan(0);
    expect(said('job.yaml').toSorted()).toEqual(recorded);
  });
});

describe('damage to the files', () => {
  it('cut short anywhere, costs the lines that were cut and is told; the job goes on', () => {
    start();
    call(['log', 'job.yaml', 'customer x', 'arrived x', 'note one', 'note two'], { cwd: cwd() });
    const bytes = readFileSync(join(cwd(), 'job.yaml'));
    const whole = said('job.yaml');
    for (const cut of [
      bytes.length - 1,
      bytes.length - 2,
      bytes.length - 30,
      Math.floor(bytes.length * 0.7),
    ]) {
      writeFileSync(join(cwd(), 'cut.yaml'), bytes.subarray(0, cut));
      const { exit, stderr } = call(['next', 'cut.yaml'], { cwd: cwd() });
      expect(exit, stderr).toBe(0);
      const left = said('cut.yaml');
      expect(left).toEqual(whole.slice(0, left.length));
      if (cut < bytes.length - 1)
        expect(stderr).toMatch(/the last line was cut off while it was written/);
      expect(call(['log', 'cut.yaml', 'note goes on'], { cwd: cwd() }).exit).toBe(0);
      expect(said('cut.yaml')).toEqual([...left, 'note goes on']);
    }
  });

  it('a line changed further up is named with its place, and the file is left as it is', () => {
    start();
    call(['log', 'job.yaml', 'customer x', 'note one', 'note two'], { cwd: cwd() });
    const text = readFileSync(join(cwd(), 'job.yaml'), 'utf8').replace('note one', 'note uno');
    writeFileSync(join(cwd(), 'job.yaml'), text);
    for (const words of [
      ['next', 'job.yaml'],
      ['log', 'job.yaml', 'note x'],
      ['sheet', 'job.yaml'],
    ]) {
      const { exit, stderr } = call(words, { cwd: cwd() });
      expect(exit).toBe(2);
      expect(stderr).toMatch(
        /job\.yaml:3:1: error\[CHANGED_EVENT\] event 3 is not as it was written/,
      );
    }
    expect(readFileSync(join(cwd(), 'job.yaml'), 'utf8')).toBe(text);
  });

  it('another board in the place of the job’s own is told, and no line of the record is touched', () => {
    start();
    const lines = [
      'customer x',
      'arrived x',
      'skip look-over seen',
      'residual P24 GND 0 V',
      'lift W1',
    ];
    expect(call(['log', 'job.yaml', ...lines], { cwd: cwd() }).exit).toBe(0);
    const before = readFileSync(join(cwd(), 'job.yaml'), 'utf8');
    const [head = ''] = LAMP.split('jumpers:');
    writeFileSync(join(cwd(), 'lamp.yaml'), head.replace('10k', '12k'));
    const { stderr } = call(['next', 'job.yaml'], { cwd: cwd() });
    expect(stderr).toMatch(/changed since|was changed/);
    expect(stderr).toMatch(/event 6, "lift W1", does not fit this board/);
    expect(readFileSync(join(cwd(), 'job.yaml'), 'utf8')).toBe(before);
    writeFileSync(join(cwd(), 'lamp.yaml'), LAMP);
    expect(call(['next', 'job.yaml'], { cwd: cwd() }).stderr).not.toMatch(/does not fit/);
  });
});
