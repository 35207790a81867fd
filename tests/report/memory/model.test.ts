import { describe, expect, it } from 'vitest';
import { DEFAULT_MEMORY_RULES } from '../../../src/job/memory/rules.ts';
import { modelDocument } from '../../../src/report/memory/document.ts';
import { viewModel } from '../../../src/report/memory/model-view.ts';
import { sheetHtml } from '../../../src/report/sheet/html.ts';
import { sheetLines } from '../../../src/report/sheet/text.ts';
import { NO_COLOUR } from '../../../src/report/style.ts';
import { foundFailed, madeLesson } from '../../job/memory/made-lesson.ts';

const HOSTILE = 'Q<b>1"&';
const lessons = [
  madeLesson(1, {
    failed: [foundFailed(HOSTILE, 'n-mosfet', 'short'), foundFailed('D1', 'diode', 'open')],
    marking: 'aa',
    stages: { isolate: 30, repair: 10 },
    minutes: { look: [2, 2 * Math.log(2), 1], 'reading continuity': [3, 0, 0] },
    hands: { 'Ada<b>': { look: [1, Math.log(4), 2] } },
  }),
  madeLesson(2, { failed: [foundFailed('D1', 'diode', 'short')], stages: { isolate: 12.5 } }),
  madeLesson(30, { failed: [foundFailed('D1', 'diode')], marking: 'aa', renewed: ['C3'] }),
  madeLesson(31, { teaches: { weight: 0, why: 'nothing' }, failed: [foundFailed('C9', 'film')] }),
];
const view = viewModel('Hoist', lessons, DEFAULT_MEMORY_RULES);

describe('what the memory holds of a model', () => {
  it('counts boards on which a part was found failed, those that teach nothing left out', () => {
    expect(view.fails.map(({ part, jobs, shorts, opens }) => [part, jobs, shorts, opens])).toEqual([
      ['D1', 3, 1, 1],
      [HOSTILE, 1, 1, 0],
    ]);
    expect(view).toMatchObject({ jobs: 4, teaching: 3 });
  });

  it('names parts that failed together, boards that came back, and parts that never failed', () => {
    expect(view.together).toEqual([{ parts: ['D1', HOSTILE], jobs: 1 }]);
    expect(view.comebacks).toEqual([{ first: 'job-1', again: 'job-30', days: 1, parts: ['D1'] }]);
    expect(view.innocent).toEqual([{ part: 'C3', renewed: 1, cleared: {} }]);
  });

  it('shows minutes over time, from the oldest job on', () => {
    expect(view.minutes.map(({ minutes }) => minutes)).toEqual([40, 12.5, 0, 0]);
  });

  it('tells how long work takes in the middle, and whom', () => {
    expect(view.work).toEqual([
      { work: 'reading: beeper', times: 3, minutes: 1, by: [] },
      {
        work: 'look',
        times: 2,
        minutes: 2,
        by: [{ technician: 'Ada<b>', times: 1, minutes: 4 }],
      },
    ]);
  });

  it('tells the same on a page as in text, with nothing that could run or be fetched', () => {
    const page = sheetHtml(modelDocument(view));
    expect(page).not.toMatch(/<b>|<script|https?:/);
    expect(page).toContain('Q&lt;b&gt;1&quot;&amp;');
    expect(page.match(/<svg/g)).toHaveLength(3);
    for (const { part, jobs } of view.fails) {
      const line = sheetLines(modelDocument(view), { width: 80, palette: NO_COLOUR });
      expect(line).toContain(`- ${part}: ${jobs}`);
    }
  });

  it.each([50, 80, 200])('fits %i columns', (width) => {
    const lines = sheetLines(modelDocument(view), { width, palette: NO_COLOUR });
    expect(lines.filter((line) => line.length > width)).toEqual([]);
  });
});
