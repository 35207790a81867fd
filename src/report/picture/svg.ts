import { escapeHtml } from '../sheet/escape.ts';
import { counted, listOf, percent } from '../words.ts';
import { GLUE, wrap } from '../wrap.ts';
import { loneLetters } from './labels.ts';
import { layPanel, type Mark, PAGE_WIDTH, type Panel } from './layout.ts';
import { NAMED_WEIGHT, type PictureReading, type PictureView, type SideView } from './model.ts';
import { PICTURE_STYLE } from './svg-style.ts';

const MARGIN = 20;
const LINE = 22;

/** The picture as one drawing of its own: no script, nothing fetched, light and dark. */
export function pictureSvg(
  view: PictureView,
  title = `Rail ${view.rail}: ${view.plus} against ${view.minus}`,
  name = `Rail ${view.rail} in its places`,
): string {
  const rows: string[] = [];
  const keys = new Map<string, string>();
  let y = MARGIN + 16;
  const line = (text: string, kind: string): void => {
    rows.push(textRow(text, kind, MARGIN, y));
    y += LINE;
  };
  for (const part of cut(title)) line(part, 'head');
  for (const side of view.frame === undefined ? [] : view.sides) {
    const panel = layPanel(view, side, new Set(keys.values()).size);
    for (const [name, key] of panel.keys) keys.set(name, key);
    line(titleOf(view, side), 'side');
    rows.push(
      `<g transform="translate(0 ${y - LINE / 2})">`,
      ...panelRows(view, side, panel),
      '</g>',
    );
    y += panel.height + LINE;
  }
  for (const text of legendOf(view, keys)) for (const part of cut(text)) line(part, 'key');
  const readings = view.readings.map((reading) => readingText(reading, keys));
  for (const row of inColumns(readings)) {
    for (const { text, x } of row) rows.push(textRow(text, 'reading', x, y));
    y += LINE;
  }
  const height = Math.ceil(y);
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-labelledby="title" width="${PAGE_WIDTH}" height="${height}" viewBox="0 0 ${PAGE_WIDTH} ${height}">`,
    `<title id="title">${escapeHtml(name)}</title>`,
    `<style>${PICTURE_STYLE}</style>`,
    `<rect class="page" width="${PAGE_WIDTH}" height="${height}"/>`,
    ...rows,
    '</svg>',
    '',
  ].join('\n');
}

function titleOf({ sides }: PictureView, { side }: SideView): string {
  if (side === 'bottom') return 'Bottom, as it lies when the board is turned over';
  return sides.length > 1 ? 'Top' : 'Seen from the top';
}

function panelRows(view: PictureView, { side, places }: SideView, panel: Panel): string[] {
  const [left = 0, right = 0] = view.frame?.x ?? [];
  const ends = side === 'bottom' ? [right, left] : [left, right];
  const own = places.map(({ at }) => at[1]);
  const [low, high] = [Math.min(...own), Math.max(...own)];
  const foot = panel.height - 4;
  return [
    `<rect class="frame" x="4" y="0" width="${panel.width - 8}" height="${n(panel.height)}"/>`,
    `<text class="mm" x="12" y="${n(foot)}">x ${n(ends[0] ?? 0)} mm, y ${n(low)} mm</text>`,
    `<text class="mm" x="12" y="16">y ${n(high)} mm</text>`,
    `<text class="mm" x="${panel.width - 12}" y="${n(foot)}" text-anchor="end">x ${n(ends[1] ?? 0)} mm</text>`,
    ...spanRows(view, panel),
    ...panel.labels.flatMap(({ leader }) =>
      leader === undefined
        ? []
        : [
            `<line class="leader" x1="${n(leader[0])}" y1="${n(leader[1])}" x2="${n(leader[2])}" y2="${n(leader[3])}"/>`,
          ],
    ),
    ...panel.marks.flatMap(markRows),
    ...panel.labels.map(
      ({ x, y, width, height, text, isPlain }) =>
        `<text class="${isPlain ? 'plain' : 'told'}" x="${n(x + width / 2)}" y="${n(y + height * 0.78)}" text-anchor="middle">${escapeHtml(text)}</text>`,
    ),
  ];
}

/** An unshaded reading between two places is a line; its value is in the list. */
function spanRows({ readings }: PictureView, { marks }: Panel): string[] {
  const at = new Map(marks.flatMap((mark) => mark.places.map(({ name }) => [name, mark] as const)));
  return readings.flatMap(({ between, shade }) => {
    if (shade !== undefined) return [];
    const [from, to] = (between ?? []).map((name) => at.get(name));
    if (from === undefined || to === undefined) return [];
    return [
      `<line class="span" x1="${n(from.x)}" y1="${n(from.y)}" x2="${n(to.x)}" y2="${n(to.y)}"/>`,
    ];
  });
}

function markRows({ x, y, r, told, places, key }: Mark): string[] {
  const shade = Math.max(0, ...told.map(({ value }) => value?.shade ?? 0));
  const weight = Math.max(0, ...places.map((place) => place.weight ?? 0));
  const kind =
    shade > 0 ? `shade${shade}` : told.length > 0 ? 'bare' : weight > 0 ? 'doubt' : 'pad';
  const ring = weight >= NAMED_WEIGHT;
  const isNext = told.some((place) => place.next.length > 0 || place.sign !== undefined);
  const sign = key ?? (shade === 0 && ring ? '?' : undefined);
  const circle = (radius: number, name: string): string =>
    `<circle class="${name}" cx="${n(x)}" cy="${n(y)}" r="${n(radius)}"/>`;
  return [
    circle(r, kind),
    ...(ring ? [circle(r + 3, 'ring')] : []),
    ...(isNext
      ? [
          `<rect class="next" x="${n(x - r - 5)}" y="${n(y - r - 5)}" width="${n(2 * r + 10)}" height="${n(2 * r + 10)}"/>`,
        ]
      : []),
    ...(sign === undefined
      ? []
      : [
          `<text class="sign on-${kind}" x="${n(x)}" y="${n(y + 4.5)}" text-anchor="middle">${escapeHtml(sign)}</text>`,
        ]),
  ];
}

/** All that the drawing shows, in words. */
function legendOf(view: PictureView, keys: ReadonlyMap<string, string>): string[] {
  const { shaded, suspects, next, unplaced } = view;
  const named = suspects.filter(({ weight }) => weight >= NAMED_WEIGHT);
  const lighter = suspects.length - named.length;
  const texts = named.map(
    ({ part, weight }) => `${keyed(part, keys)}${part}${GLUE}${percent(weight)}`,
  );
  const rest =
    lighter > 0 ? [`${counted(lighter, 'part')} under ${percent(NAMED_WEIGHT)} each`] : [];
  const lone = loneLetters(view, keys);
  return [
    ...(lone.length === 0 ? [] : [`Letters: ${lone.join('; ')}`]),
    ...(next === undefined ? [] : [`Next, in squares: ${next.text}`]),
    ...(shaded === undefined ? [] : [`Shaded, strongest nearest the short: ${shaded}`]),
    ...(suspects.length === 0 ? [] : [`Suspects, ringed: ${[...texts, ...rest].join(', ')}`]),
    ...(unplaced.length === 0 ? [] : [`No place known: ${listOf(unplaced, 40)}`]),
  ];
}

function keyed(name: string | undefined, keys: ReadonlyMap<string, string>): string {
  const key = name === undefined ? undefined : keys.get(name);
  return key === undefined ? '' : `${key} `;
}

function readingText(reading: PictureReading, keys: ReadonlyMap<string, string>): string {
  const { id, red, black, text, place, notes } = reading;
  const more = notes.length === 0 ? '' : `, ${notes.join(', ')}`;
  return `${keyed(place, keys)}${red} to ${black}: ${text} (event ${id}${more})`;
}

/** Down the columns, as many as fit the page; a longer text has the page's width and more lines. */
function inColumns(texts: readonly string[]): { readonly text: string; readonly x: number }[][] {
  const widest = Math.max(1, ...texts.map((text) => text.length));
  const columns = Math.max(1, Math.floor(LINE_LENGTH / (widest + 3)));
  if (columns === 1) return texts.flatMap(cut).map((text) => [{ text, x: MARGIN }]);
  const count = Math.ceil(texts.length / columns);
  const wide = (PAGE_WIDTH - 2 * MARGIN) / columns;
  return Array.from({ length: count }, (_, row) =>
    texts.flatMap((text, index) =>
      index % count === row ? [{ text, x: MARGIN + Math.floor(index / count) * wide }] : [],
    ),
  );
}

/** Characters of a line that fit the page. */
const LINE_LENGTH = 108;

function cut(text: string): string[] {
  return wrap(text, LINE_LENGTH);
}

function textRow(text: string, kind: string, x: number, y: number): string {
  return `<text class="${kind}" x="${n(x)}" y="${n(y)}">${escapeHtml(text)}</text>`;
}

function n(value: number): string {
  return String(Number(value.toFixed(1)));
}
