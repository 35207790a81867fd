import { barsSvg } from './bars-svg.ts';
import type { Block, Cell, SheetDocument, Tone } from './blocks.ts';
import { escapeHtml as html } from './escape.ts';
import { SHEET_CSS } from './html-style.ts';
import { drawingSvg } from './svg.ts';

/** A picture found beside the job: its type by its first bytes, and its bytes in base64. */
export interface EmbeddedPhoto {
  readonly type: 'image/png' | 'image/jpeg' | 'image/webp' | 'image/gif';
  readonly base64: string;
}

/**
 * The sheet as one HTML file that needs nothing else: no script, no network.
 * @param photos by the file name the job gives; one that is missing here is only named
 */
export function sheetHtml(
  { title, blocks }: SheetDocument,
  photos: ReadonlyMap<string, EmbeddedPhoto> = new Map(),
): string {
  const body = sectionsOf(blocks).map((section, k) => sectionHtml(section, k, photos));
  return [
    '<!DOCTYPE html>',
    '<html lang="en">',
    '<head>',
    '<meta charset="utf-8"/>',
    '<meta name="viewport" content="width=device-width, initial-scale=1"/>',
    '<meta name="color-scheme" content="light dark"/>',
    // Nothing is fetched, whatever a name may have smuggled in.
    `<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; img-src data:"/>`,
    `<title>${html(title)}</title>`,
    `<style>\n${SHEET_CSS}\n</style>`,
    '</head>',
    '<body>',
    '<main>',
    `<h1>${html(title)}</h1>`,
    ...body,
    '</main>',
    '</body>',
    '</html>',
    '',
  ].join('\n');
}

/** Blocks from one second-level heading to the next. */
function sectionsOf(blocks: readonly Block[]): Block[][] {
  const sections: Block[][] = [[]];
  for (const block of blocks) {
    if (block.kind === 'heading' && block.level === 2) sections.push([]);
    sections.at(-1)?.push(block);
  }
  return sections.filter((section) => section.length > 0);
}

type Photos = ReadonlyMap<string, EmbeddedPhoto>;

function sectionHtml(blocks: readonly Block[], place: number, photos: Photos): string {
  const inner = blocks.map((block, k) => blockHtml(block, `s${place}-${k}`, photos));
  const [first] = blocks;
  const isNamed = first?.kind === 'heading' && first.level === 2;
  const open = isNamed ? `<section aria-labelledby="s${place}-0">` : '<section>';
  return [open, ...inner, '</section>'].join('\n');
}

function blockHtml(block: Block, id: string, photos: Photos): string {
  switch (block.kind) {
    case 'heading':
      return `<h${block.level} id="${id}">${html(block.text)}</h${block.level}>`;
    case 'text':
      return `<p${classOf(block.tone)}>${html(block.text)}</p>`;
    case 'list':
      return listHtml(block.items, listClass(block.items, block.tone));
    case 'facts':
      return factsHtml(block.rows);
    case 'table':
      return tableHtml(block);
    case 'drawing':
      return [
        '<figure class="drawing">',
        `<figcaption>${html(block.caption)}</figcaption>`,
        drawingSvg(block.drawing, id, block.caption),
        listHtml(block.says, ` id="${id}-says"`),
        '</figure>',
      ].join('\n');
    case 'bars':
      return [
        '<figure class="bars">',
        `<figcaption>${html(block.caption)}</figcaption>`,
        barsSvg(block, id),
        '</figure>',
      ].join('\n');
    case 'photo':
      return photoHtml(block.file, block.text, photos);
    case 'blanks':
      return `<p class="blanks">${block.labels.map((label) => `<span>${html(label)}:</span>`).join(' ')}</p>`;
  }
}

function classOf(tone: Tone | undefined): string {
  return tone === undefined ? '' : ` class="${tone}"`;
}

/** Many short lines stand in columns. */
function listClass(items: readonly string[], tone: Tone | undefined): string {
  const isMany = items.length > 8 && items.every((item) => item.length < 60);
  const names = [...(isMany ? ['many'] : []), ...(tone === undefined ? [] : [tone])];
  return names.length === 0 ? '' : ` class="${names.join(' ')}"`;
}

function listHtml(items: readonly string[], attributes: string): string {
  return [`<ul${attributes}>`, ...items.map((item) => `<li>${html(item)}</li>`), '</ul>'].join(
    '\n',
  );
}

function factsHtml(rows: readonly (readonly [string, string])[]): string {
  const pairs = rows.map(
    ([label, text]) => `<div><dt>${html(label)}</dt><dd>${html(text)}</dd></div>`,
  );
  return ['<dl>', ...pairs, '</dl>'].join('\n');
}

function tableHtml({ caption, columns, rows }: Extract<Block, { kind: 'table' }>): string {
  const head = columns.map((title) => `<th scope="col">${html(title)}</th>`).join('');
  return [
    '<div class="wide"><table>',
    `<caption>${html(caption)}</caption>`,
    `<thead><tr>${head}</tr></thead>`,
    '<tbody>',
    ...rows.map(rowHtml),
    '</tbody>',
    '</table></div>',
  ].join('\n');
}

function rowHtml(row: readonly Cell[]): string {
  const cells = row.map(({ text, tone }, k) =>
    k === 0
      ? `<th scope="row"${classOf(tone)}>${html(text)}</th>`
      : `<td${classOf(tone)}>${html(text)}</td>`,
  );
  return `<tr>${cells.join('')}</tr>`;
}

function photoHtml(file: string, text: string, photos: Photos): string {
  const photo = photos.get(file);
  if (photo === undefined) return `<p class="photo">${html(text)}</p>`;
  const image = `<img alt="${html(text)}" src="data:${photo.type};base64,${photo.base64}"/>`;
  return `<figure class="photo">${image}<figcaption>${html(text)}</figcaption></figure>`;
}
