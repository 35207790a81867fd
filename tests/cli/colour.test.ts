import { describe, expect, it } from 'vitest';
import { colourPalette, HUES } from '../../src/cli/colour.ts';

const DARK = 0;
const LIGHT = 1;

/** Relative luminance of a hue of the 6×6×6 cube of the 256-colour table, 0–1 (WCAG 2.2). */
function luminance(code: number): number {
  const cube = code - 16;
  const levels = [Math.floor(cube / 36), Math.floor(cube / 6) % 6, cube % 6];
  const [r = 0, g = 0, b = 0] = levels.map((level) => {
    const share = (level === 0 ? 0 : 55 + 40 * level) / 255;
    return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}

function contrast(a: number, b: number): number {
  return (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
}

describe('the colours of a terminal', () => {
  it.each(Object.entries(HUES))('can be read on black and on white: %s', (_, code) => {
    expect(contrast(luminance(code), DARK)).toBeGreaterThan(3.9);
    expect(contrast(luminance(code), LIGHT)).toBeGreaterThan(3.9);
  });

  it('are neither green nor yellow nor blue where there are but sixteen of them', () => {
    const { good, bad, warn } = colourPalette({ TERM: 'xterm' });
    const codes = [good, bad, warn].map((mark) => mark('x'));
    // biome-ignore lint/suspicious/noControlCharactersInRegex: colour is made of them.
    for (const code of codes) expect(code).toMatch(/^\u001b\[(1|31|35)m/);
  });
});
