import { readdirSync, readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { boardWarnings } from '../../src/board/board-warnings.ts';
import { loadBoard } from '../../src/board/load.ts';

const ROOT = new URL('../../boards/', import.meta.url);

test.each(readdirSync(ROOT))('%s loads without an error or a warning', (file) => {
  const { board, warnings } = loadBoard(readFileSync(new URL(file, ROOT), 'utf8'), file);
  expect([...warnings, ...boardWarnings(board)]).toEqual([]);
  expect(board.parts.length).toBeGreaterThanOrEqual(40);
  expect(board.rails.every(({ volts }) => volts !== undefined)).toBe(true);
});

test('the bypass rail carries at least 64 ceramic capacitors', () => {
  const { board } = loadBoard(readFileSync(new URL('bypass-rail.yaml', ROOT), 'utf8'), 'b');
  const rail = board.netNamed.get('V3')?.index;
  const across = board.parts.filter(
    ({ kind, pins }) => kind.name === 'ceramic' && board.pins[pins[0] ?? -1]?.net === rail,
  );
  expect(across.length).toBeGreaterThanOrEqual(64);
});
