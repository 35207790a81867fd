import { describe, expect, it } from 'vitest';
import { SHEET_CSS } from '../../../src/report/sheet/html-style.ts';

/** The colours of each `:root` block, by name. */
const PALETTES = [...SHEET_CSS.matchAll(/:root \{([^}]*)\}/g)].map(([, body = '']) => {
  const pairs = [...body.matchAll(/--([a-z]+): (#[0-9a-f]{6})/g)];
  return new Map(pairs.map(([, name = '', colour = '']) => [name, colour]));
});

/** Relative luminance (WCAG 2.2). */
function luminance(colour: string): number {
  const [r = 0, g = 0, b = 0] = [1, 3, 5].map((at) => {
    const share = Number.parseInt(colour.slice(at, at + 2), 16) / 255;
    return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}

function contrast(a: string, b: string): number {
  const [dark = 0, light = 0] = [luminance(a), luminance(b)].sort((x, y) => x - y);
  return (light + 0.05) / (dark + 0.05);
}

describe('the colours of the sheet', () => {
  it('are those of light, dark and print', () => {
    expect(PALETTES).toHaveLength(3);
    for (const palette of PALETTES) expect(palette.size).toBe(8);
  });

  it('stand out from both grounds by 4.5 to 1, lines by 3 to 1', () => {
    for (const palette of PALETTES) {
      for (const ground of ['ground', 'soft'].map((name) => palette.get(name) ?? '')) {
        for (const name of ['text', 'quiet', 'good', 'bad', 'warn']) {
          expect(contrast(palette.get(name) ?? '', ground), name).toBeGreaterThanOrEqual(4.5);
        }
        expect(contrast(palette.get('line') ?? '', ground)).toBeGreaterThanOrEqual(3);
      }
    }
  });

  it('come with a style sheet that fetches nothing and writes no words of its own', () => {
    expect(SHEET_CSS).not.toMatch(/url\(|@import|content:/);
  });
});
