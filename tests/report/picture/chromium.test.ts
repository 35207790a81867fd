import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import fc from 'fast-check';
import { afterAll, describe, expect, it } from 'vitest';
import { pictureSvg } from '../../../src/report/picture/svg.ts';
import { viewPicture } from '../../../src/report/picture/view.ts';
import { factsOf, strewnRails, weigher } from './rails.ts';

/** The drawing with the fonts of a real browser: Debian's chromium, or what CHROMIUM names. */
const CHROMIUM = ['chromium', 'chromium-browser', 'google-chrome']
  .concat(process.env.CHROMIUM ?? [])
  .reverse()
  .find((name) => spawnSync(name, ['--version']).status === 0);

const folder = mkdtempSync(join(tmpdir(), 'picture-look-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

if (CHROMIUM === undefined) {
  console.warn('left out: how the picture of a rail looks, as chromium is not installed');
}

/** Runs in the page: which labels lie over a label, over a mark, or beyond the page. */
const PROBE = `
const boxes = [...document.querySelectorAll('g')].flatMap((g, n) =>
  [...g.querySelectorAll('text.told, text.plain, circle:not(.ring)')].map((e) => {
    const { left, top, right, bottom } = e.getBoundingClientRect();
    return { n, is: e.tagName, left, top, right, bottom, text: e.textContent };
  }));
const bad = [];
boxes.forEach((a, i) => {
  if (a.is !== 'circle' && (a.left < 0 || a.right > 1000)) bad.push(a.text + ' off the page');
  boxes.slice(i + 1).forEach((b) => {
    if (a.n !== b.n) return;
    const wide = Math.min(a.right, b.right) - Math.max(a.left, b.left);
    const high = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
    // A box is higher than its letters, and a circle does not fill the corners of its own.
    if (wide > 1.5 && high > 4.5) bad.push(a.text + ' on ' + b.text);
  });
});
document.title = JSON.stringify({ count: boxes.length, bad });
`;

function look(svgs: readonly string[]): { count: number; bad: string[] }[] {
  return svgs.map((svg) => {
    const page = join(folder, 'page.html');
    writeFileSync(
      page,
      `<!doctype html><meta charset="utf-8"><title></title><body style="margin:0">${svg}<script>${PROBE}</script>`,
    );
    const args = ['--headless', '--no-sandbox', '--disable-gpu', '--dump-dom'];
    const user = `--user-data-dir=${join(folder, 'user')}`;
    const alone = '--host-resolver-rules=MAP * ~NOTFOUND';
    const url = pathToFileURL(page).href;
    const done = spawnSync(CHROMIUM ?? '', [...args, user, alone, url], { encoding: 'utf8' });
    expect(done.status, done.stderr).toBe(0);
    const title = /<title>(\{.*?\})<\/title>/u.exec(done.stdout)?.[1] ?? '{}';
    return JSON.parse(
      title.replaceAll('&lt;', '<').replaceAll('&gt;', '>').replaceAll('&amp;', '&'),
    );
  });
}

describe.skipIf(CHROMIUM === undefined)('the picture in a browser', { timeout: 120_000 }, () => {
  it('has no label over another, over a mark or off the page', () => {
    const facts = factsOf(
      weigher(),
      ['C14', 'C15', 'C16', 'C60', 'C61', 'C63', 'C77'].map((c, i) => `${c}.1 ${c}.2 3${i} mohm`),
      { C63: 0.4, C59: 0.2, C58: 0.1, U7: 0.06 },
    );
    const strewn = fc.sample(strewnRails, { numRuns: 4, seed: 7 });
    const svgs = [facts, ...strewn].map((each) => pictureSvg(viewPicture(each)));
    for (const { count, bad } of look(svgs)) {
      expect(bad).toEqual([]);
      expect(count).toBeGreaterThan(0);
    }
  });
});
