import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { columnsOf } from '../../../src/board/shown-text.ts';
import { layGrid, scaleOf } from '../../../src/report/picture/grid.ts';
import { isNotable, labelOf } from '../../../src/report/picture/labels.ts';
import { pictureLines } from '../../../src/report/picture/text.ts';
import { viewPicture } from '../../../src/report/picture/view.ts';
import { NO_COLOUR } from '../../../src/report/style.ts';
import { factsOf, strewnRails, weigher } from './rails.ts';

const linesAt = (view: ReturnType<typeof viewPicture>, width: number): string[] =>
  pictureLines(view, { width, palette: NO_COLOUR });

const READINGS = [
  'C14.1 C14.2 41.2 mohm',
  'C22.1 C22.2 33.5 mohm',
  'C30.1 C30.2 36.1 mohm',
  'C60.1 C60.2 29.4 mohm',
  'C63.1 C63.2 26.9 mohm',
  'C60.1 C60.2 28.4 mohm',
  'C77.1 C77.2 38 mohm',
  'C60.1 C14.1 8.2 mohm',
];

describe('the picture as text', () => {
  test.each([50, 80, 200])('at %d columns', (width) => {
    const suspects = { C63: 0.41, C59: 0.22, C58: 0.11, U7: 0.06, C60: 0.03, C76: 0.02 };
    const text = `${linesAt(viewPicture(factsOf(weigher(), READINGS, suspects)), width).join('\n')}\n`;
    const file = new URL(`./weigher-${width}.txt`, import.meta.url);
    if (process.env.UPDATE_GOLDEN === '1') writeFileSync(file, text);
    expect(text).toBe(existsSync(file) ? readFileSync(file, 'utf8') : '');
  });

  test('tells every reading once, whatever the rail and the width', () => {
    fc.assert(
      fc.property(strewnRails, fc.constantFrom(50, 80, 200), (facts, width) => {
        const text = linesAt(viewPicture(facts), width).join('\n');
        const told = [...text.matchAll(/\(event\s+(\d+)/gu)].map((match) => Number(match[1]));
        expect(told.sort((a, b) => a - b)).toEqual(facts.evidence.readings.map(({ id }) => id));
      }),
    );
  });

  test('stays within the width', () => {
    fc.assert(
      fc.property(strewnRails, fc.constantFrom(50, 80, 200), (facts, width) => {
        for (const line of linesAt(viewPicture(facts), width)) {
          expect(columnsOf(line), line).toBeLessThanOrEqual(width);
        }
      }),
    );
  });

  test('tells what stands at every letter it gives', () => {
    fc.assert(
      fc.property(strewnRails, fc.constantFrom(50, 80, 200), (facts, width) => {
        const view = viewPicture(facts);
        const scale = scaleOf(view, width - 7);
        if (scale === undefined) return;
        const text = linesAt(view, width).join(' ').replace(/\s+/gu, ' ');
        let used = 0;
        for (const side of view.sides) {
          const { keys } = layGrid(view, side, scale, used);
          used += new Set(keys.values()).size;
          for (const [name, key] of keys) {
            const told = [` ${key} ${name} `, ` ${key} ${name},`, ` ${key} █ ${name}.`];
            const shaded = ['▓', '▒', '░'].map((sign) => ` ${key} ${sign} ${name}.`);
            expect(
              [...told, ...shaded].some((each) => `${text} `.includes(each)),
              name,
            ).toBe(true);
          }
        }
      }),
    );
  });

  test('names what matters beside its sign, or gives it a letter', () => {
    fc.assert(
      fc.property(strewnRails, fc.constantFrom(44, 74, 194), (facts, width) => {
        const view = viewPicture(facts);
        const scale = scaleOf(view, width);
        if (scale === undefined) return;
        for (const side of view.sides) {
          const { rows, keys } = layGrid(view, side, scale, 0);
          if (keys.size >= 40) continue; // the letters may have run out
          for (const place of side.places.filter(isNotable)) {
            const key = keys.get(place.name);
            const wanted = key ?? labelOf(place);
            expect(rows.some((row) => row.includes(wanted))).toBe(true);
          }
          expect(rows.every((row) => columnsOf(row) <= width)).toBe(true);
        }
      }),
    );
  });
});

describe('a picture of a rail', () => {
  test('shades the newest reading of a place and keeps the older one in the list', () => {
    const view = viewPicture(factsOf(weigher(), READINGS));
    const c60 = view.sides[0]?.places.find(({ name }) => name === 'C60');
    expect(c60?.value).toMatchObject({ text: '28.4 mΩ', id: 7 });
    expect(view.readings.find(({ id }) => id === 5)).toMatchObject({
      text: '29.4 mΩ',
      notes: ['read again since'],
    });
  });

  test('is darkest at the lowest milliohms, and lists them first', () => {
    const view = viewPicture(factsOf(weigher(), READINGS));
    expect(view.readings.slice(0, 2).map(({ place, shade }) => [place, shade])).toEqual([
      ['C63', 4],
      ['C60', 4],
    ]);
    expect(view.sides[0]?.places.find(({ name }) => name === 'C14')?.value?.shade).toBe(1);
  });

  test('shades one reading alone neither near nor far', () => {
    const view = viewPicture(factsOf(weigher(), READINGS.slice(0, 1)));
    expect(view.readings[0]?.shade).toBe(2);
  });

  test('does not shade milliohms along one net: they tell nothing of where the short is', () => {
    const view = viewPicture(factsOf(weigher(), ['C60.1 C14.1 8.2 mohm', 'C60.1 C20.1 6 mohm']));
    expect(view.shaded).toBeUndefined();
    expect(view.readings.map(({ between }) => between)).toEqual([
      ['C60', 'C14'],
      ['C60', 'C20'],
    ]);
  });

  test('draws the sides apart, the bottom mirrored', () => {
    const { sides } = viewPicture(factsOf(weigher(), READINGS));
    expect(sides.map(({ side }) => side)).toEqual(['top', 'bottom']);
    const text = linesAt(viewPicture(factsOf(weigher(), [])), 80).join('\n');
    expect(text.indexOf('C79')).toBeLessThan(text.indexOf('C75'));
  });

  test('of a part with pads apart has a place for each, of others one', () => {
    const { board } = factsOf(weigher(), []);
    const names = (facts: Parameters<typeof viewPicture>[0]): string[] =>
      viewPicture(facts).sides.flatMap(({ places }) => places.map(({ name }) => name));
    expect(names(factsOf(board, [])).filter((name) => name.startsWith('U5'))).toEqual(['U5']);
    const moved = board.pins.map((pin) =>
      pin.part === board.partNamed.get('U5')?.index ? { ...pin, at: [pin.index, 3] as const } : pin,
    );
    const apart = names(factsOf({ ...board, pins: moved }, []));
    expect(apart).toContain('U5.VCC1');
    expect(apart).toContain('U5.VCC8');
    expect(apart).not.toContain('U5');
  });

  test('without any place still tells its readings', () => {
    const bare = weigher();
    const parts = bare.parts.map(({ at: _, ...part }) => part);
    const view = viewPicture(factsOf({ ...bare, parts }, READINGS.slice(0, 3), { C14: 0.5 }));
    const text = linesAt(view, 80).join('\n');
    expect(view.frame).toBeUndefined();
    expect(text).toMatch(/C14\.1 C14\.2 +41\.2 mΩ \(event 2\)/u);
    expect(text).toContain('“at R3 31.5 20”');
  });
});
