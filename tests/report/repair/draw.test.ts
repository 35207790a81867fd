import { describe, expect, it } from 'vitest';
import { MARKS } from '../../../src/job/repair/marks.ts';
import type { Family } from '../../../src/job/repair/package-family.ts';
import { drawnSize, drawSvg, drawText } from '../../../src/report/repair/draw.ts';
import { DRAWINGS, type Drawing } from '../../../src/report/repair/drawings.ts';

const drawings = Object.entries(DRAWINGS) as [Family, Drawing][];

describe('the drawing of a body', () => {
  it.each(drawings)(
    '%s fits 46 columns of plain ASCII, and says which end is which',
    (_, drawing) => {
      const lines = drawText(drawing);
      expect(lines).toHaveLength(drawing.height);
      for (const line of lines) {
        expect(line.length).toBeLessThanOrEqual(46);
        expect(line).toMatch(/^[\x20-\x7e]*$/);
      }
      expect(lines.join('').trim()).not.toBe('');
    },
  );

  it.each(drawings)('%s shows every one of its words, in letters and on a sheet', (_, drawing) => {
    const text = drawText(drawing).join('\n');
    const svg = drawSvg(drawing);
    for (const shape of drawing.shapes) {
      if (shape.draw !== 'words') continue;
      expect(text).toContain(shape.text);
      expect(svg).toContain(`>${shape.text}</text>`);
    }
  });

  it.each(drawings)('%s stays within its size on a sheet', (_, drawing) => {
    const { width, height } = drawnSize(drawing);
    const svg = drawSvg(drawing);
    const numbers = (name: string): number[] =>
      [...svg.matchAll(new RegExp(` ${name}="(-?[\\d.]+)"`, 'g'))].map(([, n]) => Number(n));
    for (const x of [...numbers('x'), ...numbers('x1'), ...numbers('x2'), ...numbers('cx')]) {
      expect(x).toBeGreaterThanOrEqual(0);
      expect(x).toBeLessThanOrEqual(width);
    }
    for (const y of [...numbers('y'), ...numbers('y1'), ...numbers('y2'), ...numbers('cy')]) {
      expect(y).toBeGreaterThanOrEqual(0);
      expect(y).toBeLessThanOrEqual(height);
    }
  });

  it('is there for every family whose body carries a mark', () => {
    for (const [family, fact] of Object.entries(MARKS)) {
      if (fact.mark !== undefined) expect(DRAWINGS).toHaveProperty([family]);
    }
  });

  it('marks the end that the words mark: plus on tantalum, minus on aluminium', () => {
    expect(drawText(DRAWINGS['tantalum chip'] as Drawing)).toContain(
      '  plus ----|##        |---- minus',
    );
    expect(drawText(DRAWINGS['can, axial'] as Drawing)).toContain(
      '  plus ----|        ##|---- minus',
    );
    expect(drawText(DRAWINGS['diode, leaded'] as Drawing)).toContain(
      '     A ----|        ##|---- K',
    );
  });
});
