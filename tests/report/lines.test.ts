import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { loadBoard } from '../../src/board/load.ts';
import type { Board } from '../../src/board/model.ts';
import { columnsOf } from '../../src/board/shown-text.ts';
import { deriveJob } from '../../src/job/derive.ts';
import { adviceLines, viewAdvice } from '../../src/report/advice.ts';
import { cautionLines, shortCautionLines, viewCautions } from '../../src/report/cautions.ts';
import { changeLines, viewChange } from '../../src/report/change.ts';
import { checkLines, viewCheck } from '../../src/report/check.ts';
import { diagnosisLines } from '../../src/report/diagnosis.ts';
import { viewDiagnosis } from '../../src/report/diagnosis-view.ts';
import { pairLines, partLines, viewPair, viewPart } from '../../src/report/explain.ts';
import { ledgerLine } from '../../src/report/ledger.ts';
import { overviewLines, viewOverview } from '../../src/report/overview.ts';
import { NO_COLOUR, type Palette, type Style } from '../../src/report/style.ts';
import { wrap } from '../../src/report/wrap.ts';
import { type Analysis, advise, analyse, openWorkbench } from '../../src/steps/advise.ts';
import { explainPair } from '../../src/steps/explain-pair.ts';
import { explainPart } from '../../src/steps/explain-part.ts';
import { LAMP } from '../cli/scratch.ts';

function shipped(name: string): Board {
  const path = fileURLToPath(new URL(`../../boards/${name}.yaml`, import.meta.url));
  return loadBoard(readFileSync(path, 'utf8'), path).board;
}

function analysed(board: Board, says: readonly string[]): Analysis {
  const events = says.map((say, index) => ({ n: index + 2, at: '', say, line: index + 2 }));
  return analyse(openWorkbench(board), deriveJob(board, events).evidence);
}

/** Every text made of an analysis, at one width. */
function allLines(board: Board, before: Analysis, after: Analysis, style: Style): string[] {
  const [old, now] = [before, after].map((each) =>
    viewDiagnosis(board, each.evidence, each.diagnosis),
  );
  const cautions = viewCautions(board);
  const [rail] = board.rails;
  return [
    ...overviewLines(viewOverview(board), style),
    ...cautionLines(cautions, style),
    ...shortCautionLines(cautions, style),
    ...adviceLines(viewAdvice(board, advise(after)), style),
    ...diagnosisLines(now!, style),
    ...changeLines(viewChange([{ n: 2, say: 'note' }], old!, now!), style),
    ...checkLines(
      viewCheck(board, after.evidence, now!, () => false),
      style,
    ),
    ...pairLines(viewPair(board, explainPair(after, rail?.plus ?? 0, rail?.minus ?? 1)), style),
    ...board.parts.flatMap(({ index }) =>
      partLines(viewPart(board, after.evidence, explainPart(after, index)), style),
    ),
    ...wrap(ledgerLine(board, after.evidence.state), style.width),
  ];
}

const plain = (width: number): Style => ({ width, palette: NO_COLOUR });

describe('the texts of a board', () => {
  const cases: readonly (readonly [string, readonly string[]])[] = [
    ['hoist-drive', ['P48 GND beep', 'P48_CHOP GND_CHOP beep', 'lift W1', 'P48 GND quiet']],
    ['bypass-rail', ['V3 GND beep', 'look C10 cracked']],
    ['bench-flyback', ['HV PGND 0.4 ohm', 'remove Q1', 'HV PGND quiet']],
  ];

  it.each(cases)('of %s fit every width from 50 to 200 columns', (name, says) => {
    const board = shipped(name);
    const [before, after] = [analysed(board, []), analysed(board, says)];
    fc.assert(
      fc.property(fc.integer({ min: 50, max: 200 }), (width) => {
        for (const line of allLines(board, before, after, plain(width))) {
          expect(columnsOf(line), line).toBeLessThanOrEqual(width);
          expect(line).not.toMatch(/undefined|NaN|\[object|\u00a0/);
        }
      }),
      { numRuns: 25 },
    );
  });

  it.each(cases)('of %s never call the board safe', (name, says) => {
    const board = shipped(name);
    const lines = allLines(board, analysed(board, []), analysed(board, says), plain(80));
    expect(lines.join('\n')).not.toMatch(/\bsafe(ly)?\b/i);
  });

  it('say the same with and without colour', () => {
    const { board } = loadBoard(LAMP, 'lamp.yaml');
    const mark = (text: string): string => `<${text}>`;
    const marks: Palette = { strong: mark, quiet: mark, good: mark, bad: mark, warn: mark };
    const [before, after] = [analysed(board, []), analysed(board, ['P24 GND beep'])];
    const bare = allLines(board, before, after, plain(80));
    const marked = allLines(board, before, after, { width: 80, palette: marks });
    expect(marked.map((line) => line.replace(/^<|>$/g, ''))).toEqual(bare);
  });

  it('keep control characters of a file away from the terminal', () => {
    const { board: loaded } = loadBoard(LAMP, 'lamp.yaml');
    const nasty = <T extends { readonly name: string }>(each: T): T => ({
      ...each,
      name: `${each.name}\u001b[31m\u0007`,
    });
    const board = {
      ...nasty(loaded),
      nets: loaded.nets.map(nasty),
      parts: loaded.parts.map(nasty),
    };
    const [before, after] = [analysed(board, []), analysed(board, [])];
    const lines = allLines(board, before, after, plain(80)).join('');
    // biome-ignore lint/suspicious/noControlCharactersInRegex: these must not be there.
    expect(lines).not.toMatch(/[\u0000-\u001f]/);
  });
});
