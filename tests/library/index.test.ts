import { readFileSync } from 'node:fs';
import { PassThrough } from 'node:stream';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import {
  advise,
  analyse,
  deriveJob,
  extendJob,
  faultSettingsOf,
  LineFeed,
  listenFor,
  loadBoard,
  loadShop,
  NO_COLOUR,
  openJob,
  openWorkbench,
  parseSay,
  piecesUsed,
  priceBook,
  printSay,
  repairList,
  SimulatedBench,
  sheetDocument,
  sheetHtml,
  sheetLines,
  sheetMarkdown,
  stagesAhead,
  stepSettingsOf,
  timeSpent,
  viewSheet,
  waysAhead,
  worthOf,
} from '../../src/index.ts';

const file = fileURLToPath(new URL('../../boards/bench-flyback.yaml', import.meta.url));

describe('the library', () => {
  it('plays a drill from code: read what is advised, until nothing is left', () => {
    const { board } = loadBoard(readFileSync(file, 'utf8'), file);
    const workbench = openWorkbench(board);
    const bench = new SimulatedBench(board, { seed: 4, faults: 0 });
    let job = deriveJob(board, []);
    for (let n = 2; n < 200; n += 1) {
      const { step } = advise(analyse(workbench, job.evidence));
      if (step.kind !== 'read') {
        expect(step.kind).toBe('done');
        break;
      }
      const value = bench.answer(step.probe, job.evidence.state);
      const say = printSay(board, { do: 'read', reading: { ...step.probe, value } });
      expect(parseSay(board, say).do).toBe('read');
      job = extendJob(board, job, { n, at: '', say, line: n });
    }
    expect(job.evidence.readings.length).toBeGreaterThan(board.rails.length - 1);
  });

  it('writes the sheet of a job from code, in every form', () => {
    const { board } = loadBoard(readFileSync(file, 'utf8'), file);
    const record = openJob(
      fileURLToPath(new URL('../report/sheet/flyback-job.yaml', import.meta.url)),
    );
    const view = viewSheet(openWorkbench(board), record, deriveJob(board, record.events));
    expect(view.found.failed.map(({ part }) => part)).toEqual(['Q1', 'F1', 'C5']);
    const sheet = sheetDocument(view);
    const head = 'Job sheet: Irrigation controller supply';
    expect(sheetLines(sheet, { width: 80, palette: NO_COLOUR })[0]).toContain(head);
    expect(sheetMarkdown(sheet)).toContain(`# ${head}`);
    expect(sheetHtml(sheet)).toContain(`<h1>${head}`);
  });

  it('works as a shop does, and adds up what a job costs, from code', () => {
    const { board } = loadBoard(readFileSync(file, 'utf8'), file);
    const { shop } = loadShop('hourly-rate: 60\nprices: {usual: {fuse: 2}}', 'shop.yaml');
    const workbench = openWorkbench(board, {
      faults: faultSettingsOf(shop.doubts),
      steps: stepSettingsOf(shop),
    });
    const at = (minute: number): string => `2026-01-05T08:0${minute}:00.000Z`;
    const says = ['HV PGND quiet', 'replace F1'];
    const events = says.map((say, k) => ({ n: k + 2, at: at(k + 1), say, line: k + 2 }));
    const job = deriveJob(board, events);
    const analysis = analyse(workbench, job.evidence);
    const worth = worthOf(shop, priceBook(shop.prices, undefined), {
      board: board.name,
      spent: timeSpent(at(0), events),
      used: piecesUsed(board.parts, job),
      ahead: waysAhead(analysis, advise(analysis), repairList(analysis, job)),
      stages: stagesAhead([{ stage: 'power-up', state: 'not begun' }], 'repair', shop.stageTimes),
      isStuck: false,
    });
    expect(worth.spent).toBe(4);
    expect(worth.whole?.expected).toBeGreaterThan(19);
  });
});

describe('a meter from code', () => {
  it('is listened to until a value stands on the points', async () => {
    const source = new PassThrough();
    const feed = new LineFeed(source, 'my reader');
    const settings = { mode: 'ohms', beepOhms: 30, leadOhms: 0.2, holdMs: 0, pace: 0.1 } as const;
    const value = new Promise((resolve) => {
      const stop = listenFor(feed, {
        settings,
        tell: (ear) => {
          if (ear.value === undefined) return;
          stop();
          resolve(ear.value);
        },
      });
    });
    let count = 0;
    const writing = setInterval(() => {
      count += 1;
      source.write(count < 6 ? 'OL\n' : '4.70 OHM\n');
    }, 10);
    expect(await value).toEqual({ kind: 'ohms', ohms: 4.7 });
    clearInterval(writing);
    feed.close();
  });
});
