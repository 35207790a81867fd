import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { bigLines, bigProbe } from '../../src/report/big-text.ts';

const LETTERS = [...'ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789._-+/'];

describe('large letters', () => {
  it('tell every letter and figure from every other', () => {
    const drawn = LETTERS.map((letter) => bigLines(letter)?.join('\n'));
    expect(drawn).not.toContain(undefined);
    expect(new Set(drawn).size).toBe(LETTERS.length);
  });

  it('are three rows of half blocks, no blanks at their ends', () => {
    fc.assert(
      fc.property(
        fc.string({ unit: fc.constantFrom(...LETTERS), minLength: 1, maxLength: 12 }),
        (name) => {
          const lines = bigLines(name) ?? [];
          expect(lines).toHaveLength(3);
          for (const line of lines) expect(line).toMatch(/^[ ▀▄█]*$/);
          for (const line of lines) expect(line).toBe(line.trimEnd());
        },
      ),
    );
  });

  it('are none for a name with a character that has none', () => {
    expect(bigLines('P48\u001b[2J')).toBeUndefined();
    expect(bigProbe('Ü1', 'GND', 80)).toEqual([]);
  });

  it.each([50, 80, 200])('stand side by side or one above the other within %i columns', (width) => {
    const lines = bigProbe('P24_LAMP', 'GND', width);
    expect(lines.length).toBe(width === 50 ? 8 : 4);
    expect(Math.max(...lines.map((line) => line.length))).toBeLessThanOrEqual(width);
    expect(lines.join('\n')).toMatch(/red/);
    expect(lines.join('\n')).toMatch(/black/);
    expect(
      bigProbe('A_NAME_THAT_IS_FAR_TOO_LONG_FOR_ANY_SCREEN_THAT_ANYBODY_HAS', 'GND', width),
    ).toEqual([]);
  });
});
