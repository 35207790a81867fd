import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { inflateSync } from 'node:zlib';
import { afterAll, describe, expect, it } from 'vitest';

/** The sheet as a browser shows it and prints it. Debian's chromium, or what CHROMIUM names. */
const CHROMIUM = ['chromium', 'chromium-browser', 'google-chrome']
  .concat(process.env.CHROMIUM ?? [])
  .reverse()
  .find((name) => spawnSync(name, ['--version']).status === 0);

const folder = mkdtempSync(join(tmpdir(), 'sheet-look-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const SHEET = readFileSync('examples/hoist-sheet.html', 'utf8');

if (CHROMIUM === undefined) {
  console.warn('left out: how the sheet looks and prints, as chromium is not installed');
}

function browse(html: string, ...more: readonly string[]): { stdout: string; file: string } {
  const page = join(folder, 'page.html');
  // The ending counts: a screenshot is written to a name of its own kind only.
  const kind = more.some((each) => each.startsWith('--print')) ? 'pdf' : 'png';
  const file = join(folder, `out.${kind}`);
  rmSync(file, { force: true });
  writeFileSync(page, html);
  const args = ['--headless', '--no-sandbox', '--disable-gpu', '--hide-scrollbars'];
  // No name is found: what the page wanted from elsewhere would be missing.
  const alone = [
    '--host-resolver-rules=MAP * ~NOTFOUND',
    `--user-data-dir=${join(folder, 'user')}`,
  ];
  const out = more.map((each) => each.replace('OUT', file));
  const url = pathToFileURL(page).href;
  const done = spawnSync(CHROMIUM ?? '', [...args, ...alone, ...out, url], { encoding: 'utf8' });
  expect(done.status, done.stderr).toBe(0);
  return { stdout: done.stdout, file };
}

describe.skipIf(CHROMIUM === undefined)('the sheet in a browser', { timeout: 120_000 }, () => {
  it('stands in the page as it was written', () => {
    const { stdout } = browse(SHEET, '--dump-dom');
    const count = (html: string, tag: string): number => html.split(`<${tag}`).length - 1;
    for (const tag of ['h2', 'h3', 'table', 'tr', 'th', 'li', 'svg', 'dt', 'figure']) {
      expect(count(stdout, tag), tag).toBe(count(SHEET, tag));
    }
  });

  it('is dark text on light, and light text on dark, by the reader’s setting', () => {
    const shot = (...more: readonly string[]): readonly number[] => {
      const look = ['--window-size=800,600', '--screenshot=OUT', ...more];
      return greys(readFileSync(browse(SHEET, ...look).file));
    };
    const light = shot('--blink-settings=preferredColorScheme=1');
    const dark = shot('--blink-settings=preferredColorScheme=0');
    expect(light[0]).toBeGreaterThan(240);
    expect(Math.min(...light)).toBeLessThan(60);
    expect(dark[0]).toBeLessThan(40);
    expect(Math.max(...dark)).toBeGreaterThan(220);
  });

  it.each([
    ['A4', 595, 842],
    ['letter', 612, 792],
  ])('prints on %s in a few pages, nothing wider than the paper', (size, width, height) => {
    // The page’s own size is the printer’s; a test has no printer and says it in the page.
    const page = SHEET.replace('@page { ', `@page { size: ${size}; `);
    expect(page).not.toBe(SHEET);
    const pdf = readFileSync(browse(page, '--print-to-pdf=OUT').file, 'latin1');
    const boxes = [...pdf.matchAll(/\/MediaBox\s*\[\s*0 0 ([\d.]+) ([\d.]+)\s*\]/g)];
    expect(boxes.length).toBeGreaterThan(1);
    expect(boxes.length).toBeLessThan(12);
    for (const [, w, h] of boxes) {
      expect(Math.abs(Number(w) - width)).toBeLessThan(2);
      expect(Math.abs(Number(h) - height)).toBeLessThan(2);
    }
  });

  it.each([320, 800])(
    'needs no scrolling sideways at %i pixels, tables by themselves apart',
    (wide) => {
      // The sheet forbids scripts; for this look the rule is taken out and the page measures itself.
      const probe =
        '<script>document.title=[document.documentElement.scrollWidth,innerWidth].join(" ")</script>';
      const open = SHEET.replace(/<meta http-equiv[^>]*>/, '').replace(
        '</body>',
        `${probe}</body>`,
      );
      const { stdout } = browse(open, `--window-size=${wide},900`, '--dump-dom');
      const [inner = 1, outer = 0] = (/<title>([\d ]+)<\/title>/.exec(stdout)?.[1] ?? '')
        .split(' ')
        .map(Number);
      expect(outer).toBeGreaterThan(0);
      expect(inner).toBeLessThanOrEqual(outer);
    },
  );
});

/** Brightness, 0–255, of the first pixel and of every 97th after it, of a PNG of 8 bits a channel. */
function greys(png: Buffer): number[] {
  const width = png.readUInt32BE(16);
  const channels = png[25] === 6 ? 4 : 3;
  const parts: Buffer[] = [];
  for (let at = 8; at < png.length; ) {
    const size = png.readUInt32BE(at);
    if (png.toString('latin1', at + 4, at + 8) === 'IDAT')
      parts.push(png.subarray(at + 8, at + 8 + size));
    at += size + 12;
  }
  const bytes = unfiltered(inflateSync(Buffer.concat(parts)), width * channels, channels);
  const found: number[] = [];
  for (let at = 0; at < bytes.length; at += 97 * channels) found.push(bytes[at + 1] as number);
  return found;
}

/** Undoes PNG's row filters (PNG specification, section 9). */
function unfiltered(raw: Buffer, row: number, step: number): Uint8Array {
  const rows = raw.length / (row + 1);
  const out = new Uint8Array(rows * row);
  for (let y = 0; y < rows; y++) {
    const filter = raw[y * (row + 1)];
    for (let x = 0; x < row; x++) {
      const at = y * row + x;
      const left = x < step ? 0 : (out[at - step] as number);
      const up = y === 0 ? 0 : (out[at - row] as number);
      const corner = x < step || y === 0 ? 0 : (out[at - row - step] as number);
      const guess = [0, left, up, (left + up) >> 1, nearest(left, up, corner)][filter ?? 0] ?? 0;
      out[at] = ((raw[y * (row + 1) + 1 + x] as number) + guess) & 255;
    }
  }
  return out;
}

function nearest(left: number, up: number, corner: number): number {
  const sum = left + up - corner;
  const [a, b, c] = [left, up, corner].map((each) => Math.abs(sum - each)) as [
    number,
    number,
    number,
  ];
  if (a <= b && a <= c) return left;
  return b <= c ? up : corner;
}
