import {
  copyFileSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { deflateSync } from 'node:zlib';
import { afterAll, describe, expect, it } from 'vitest';
import { loadBoard } from '../../../src/board/load.ts';
import { writeEventLine } from '../../../src/job/event-line.ts';
import { openJob } from '../../../src/job/record.ts';
import { call } from '../../cli/call.ts';
import { LAMP } from '../../cli/scratch.ts';
import { readMarkup } from './marked-up.ts';

/** Whole jobs on shipped boards, one of each purpose; their HTML is what people look at. */
const JOBS = [
  {
    name: 'hoist',
    job: 'examples/hoist-whole-job.yaml',
    board: 'boards/hoist-drive.yaml',
    html: '../../../examples/hoist-sheet.html',
  },
  {
    name: 'flyback',
    job: 'tests/report/sheet/flyback-job.yaml',
    board: 'boards/bench-flyback.yaml',
    html: 'golden/flyback.html',
  },
] as const;

const cwd = mkdtempSync(join(tmpdir(), 'sheet-'));
symlinkSync(join(process.cwd(), 'boards'), join(cwd, 'boards'));
mkdirSync(join(cwd, 'jobs'));
afterAll(() => rmSync(cwd, { recursive: true, force: true }));

const made = new Map<string, string>();

/** The sheet of a job as the command prints it, made once. */
function sheetOf(job: string, board: string, form = 'text', columns = '80'): string {
  const key = `${job} ${form} ${columns}`;
  const held = made.get(key);
  if (held !== undefined) return held;
  const copy = join('jobs', job.replace(/^.*\//, ''));
  copyFileSync(job, join(cwd, copy));
  const args = ['sheet', copy, '--board', board, '--form', form];
  const done = call(args, { cwd, env: { NO_COLOR: '1', COLUMNS: columns } });
  expect(done.exit, done.stderr).toBe(0);
  made.set(key, done.stdout);
  return done.stdout;
}

describe.each(JOBS)('the sheet of the whole job on $name', ({ name, job, board, html }) => {
  it('belongs to the board as it is', async () => {
    // After a change to the board: npx vitest run -u tests/report/sheet
    const { digest } = loadBoard(readFileSync(board, 'utf8'), board).board;
    const record = openJob(job);
    const opened = { n: 1, at: record.openedAt, open: { ...record.opening, digest } };
    let { text, sum } = writeEventLine(opened, '');
    for (const { n, at, say } of record.events) {
      const line = writeEventLine({ n, at, say }, sum);
      text += line.text;
      sum = line.sum;
    }
    await expect(text).toMatchFileSnapshot(`../../../${job}`);
  });

  it('reads so as text', async () => {
    await expect(sheetOf(job, board)).toMatchFileSnapshot(`golden/${name}.txt`);
  });

  it('reads so as Markdown', async () => {
    await expect(sheetOf(job, board, 'markdown')).toMatchFileSnapshot(`golden/${name}.md`);
  });

  it('reads so as HTML, and tells there only what the text tells', async () => {
    const page = sheetOf(job, board, 'html');
    const { elements, texts, attributes } = readMarkup(page);
    expect(elements).not.toContain('script');
    expect(attributes.filter(({ name: key }) => key === 'href' || key === 'src')).toEqual([]);
    const words = (text: string): string[] => text.split(/[\s\u00a0,;:()]+/).filter(Boolean);
    const said = new Set(words(sheetOf(job, board, 'text', '200')));
    expect(texts.flatMap(words).filter((word) => !said.has(word))).toEqual([]);
    await expect(page).toMatchFileSnapshot(html);
  });

  it('never calls the board safe', () => {
    const said = sheetOf(job, board).replace(/\s+/g, ' ').split('It does not make the board safe.');
    expect(said).toHaveLength(2);
    for (const part of said) expect(part).not.toMatch(/\bsafe/i);
  });
});

describe('the sheet', () => {
  const start = (...says: string[]): void => {
    rmSync(join(cwd, 'job.yaml'), { force: true });
    expect(call(['start', 'boards/bench-flyback.yaml', '-o', 'job.yaml'], { cwd }).exit).toBe(0);
    const logged = call(['log', 'job.yaml', ...says], { cwd });
    expect(logged.exit, logged.stderr).toBe(0);
  };
  const written = (file: string, ...more: string[]): string => {
    const done = call(['sheet', 'job.yaml', '-o', file, '--overwrite', ...more], { cwd });
    expect(done.exit, done.stderr).toBe(0);
    return readFileSync(join(cwd, file), 'utf8');
  };

  it('holds photos that are there, and names the others with the reason', () => {
    writeFileSync(join(cwd, 'front.png'), png(4, 3));
    writeFileSync(join(cwd, 'back.jpg'), 'no picture at all');
    symlinkSync('/etc/hostname', join(cwd, 'link.png'));
    start('photo front.png BR1 "soot"', 'photo back.jpg', 'photo gone.gif', 'photo link.png');
    const html = written('sheet.html');
    const images = readMarkup(html).attributes.filter(
      ({ on, name }) => on === 'img' && name === 'src',
    );
    expect(images.map(({ value }) => value)).toEqual([
      `data:image/png;base64,${png(4, 3).toString('base64')}`,
    ]);
    expect(html).toContain('front.png: BR1, &quot;soot&quot;');
    expect(html).toContain('back.jpg (no PNG, JPEG, WebP or GIF picture)');
    expect(html).toContain('gone.gif (not there when the sheet was made)');
    expect(html).toContain('link.png (outside the folder of the job, left alone)');
    expect(written('sheet.txt')).toContain('gone.gif (not there when the sheet was made)');
  });

  it('takes its form from the ending of the file, or from the option', () => {
    start('V24 SGND beep');
    expect(written('sheet.md')).toMatch(/^# Job sheet: /);
    expect(written('sheet.txt')).toMatch(/^Job sheet: .*\n=+\n/);
    expect(written('sheet.out', '--form', 'html')).toMatch(/^<!DOCTYPE html>/);
    const wrong = call(['sheet', 'job.yaml', '--form', 'htm'], { cwd });
    expect(wrong).toMatchObject({ exit: 2, stdout: '' });
    expect(wrong.stderr).toContain('did you mean "html"?');
  });

  it('leaves a file alone that is there already', () => {
    start('V24 SGND beep');
    writeFileSync(join(cwd, 'kept.html'), 'mine');
    expect(call(['sheet', 'job.yaml', '-o', 'kept.html'], { cwd }).exit).toBe(2);
    expect(readFileSync(join(cwd, 'kept.html'), 'utf8')).toBe('mine');
  });

  it('tells of a job that found nothing yet what may join the pair that reads short', () => {
    start('V24 SGND beep', 'note "><script>alert(1)</script>');
    const html = written('sheet.html');
    expect(html).toContain('What may join V24 and SGND now');
    expect(html).toContain('&quot;&gt;&lt;script&gt;alert(1)&lt;/script&gt;');
    expect(readMarkup(html).elements).not.toContain('script');
    const text = written('sheet.txt');
    expect(text).toContain('Nothing was found yet.');
    expect(text).toContain('first power: not done');
  });

  it('stays what it is, whatever a board file calls things', () => {
    const evil = '"><script src=http://example.org/x.js></script><!-- | `x` [a](b) \u001b[31m';
    const text = LAMP.replace(
      'Workbench lamp driver',
      JSON.stringify(evil).replaceAll('\\u001b', ''),
    )
      .replace('supply: {plus', `${JSON.stringify("</td><b>' |")}: {plus`)
      .replace(
        'D1: {kind: suppressor',
        `D1: {part-number: ${JSON.stringify(evil.slice(0, 40))}, text: "</li>|", kind: suppressor`,
      );
    writeFileSync(join(cwd, 'evil.yaml'), text);
    rmSync(join(cwd, 'job.yaml'), { force: true });
    const begun = call(['start', 'evil.yaml', '-o', 'job.yaml'], { cwd });
    expect(begun.exit, begun.stderr).toBe(0);
    const says = [
      'P24 GND beep',
      'remove D1',
      'P24 GND quiet',
      'off D1: A K 0.3 ohm',
      'replace D1',
    ];
    expect(call(['log', 'job.yaml', ...says, `customer ${evil}`], { cwd }).exit).toBe(0);
    const page = written('evil.html');
    expect(page).toContain('&lt;script src=http');
    const { elements, attributes } = readMarkup(page);
    expect(elements).not.toContain('script');
    expect(elements).not.toContain('b');
    expect(attributes.map(({ name }) => name)).not.toContain('src');
    const lines = written('evil.md').split('\n');
    for (const line of lines) expect(line.replace(/\\./g, '')).not.toMatch(/[<>`]|\]\(/);
    expect(written('evil.txt')).not.toContain('\u001b');
  });

  it('gives the same facts as JSON', () => {
    start('V24 SGND beep');
    const done = call(['sheet', 'job.yaml', '--json'], { cwd });
    expect(JSON.parse(done.stdout)).toMatchObject({
      schema: 'trace-short/sheet/1',
      job: 'job.yaml',
      purpose: 'repair',
      end: { result: 'open' },
      readings: { phase: 'untouched', differs: true },
    });
  });
});

/** A small grey picture. */
function png(width: number, height: number): Buffer {
  const chunk = (type: string, data: Buffer): Buffer => {
    const body = Buffer.concat([Buffer.from(type), data]);
    const [size, sum] = [Buffer.alloc(4), Buffer.alloc(4)];
    size.writeUInt32BE(data.length);
    sum.writeUInt32BE(crc(body));
    return Buffer.concat([size, body, sum]);
  };
  const head = Buffer.alloc(13);
  head.writeUInt32BE(width, 0);
  head.writeUInt32BE(height, 4);
  head[8] = 8;
  const rows = Buffer.alloc((width + 1) * height, 0x80);
  for (let y = 0; y < height; y++) rows[y * (width + 1)] = 0;
  return Buffer.concat([
    Buffer.from('\x89PNG\r\n\x1a\n', 'latin1'),
    chunk('IHDR', head),
    chunk('IDAT', deflateSync(rows)),
    chunk('IEND', Buffer.alloc(0)),
  ]);
}

function crc(data: Buffer): number {
  let sum = 0xffffffff;
  for (const byte of data) {
    sum ^= byte;
    for (let k = 0; k < 8; k++) sum = (sum >>> 1) ^ (sum & 1 ? 0xedb88320 : 0);
  }
  return (sum ^ 0xffffffff) >>> 0;
}
