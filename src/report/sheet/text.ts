import { columnsOf } from '../../board/shown-text.ts';
import type { Style } from '../style.ts';
import { labelled, wrap } from '../wrap.ts';
import type { Block, Cell, SheetDocument, Tone } from './blocks.ts';

/** The sheet as lines of text, laid out for a width. */
export function sheetLines({ title, blocks }: SheetDocument, style: Style): string[] {
  const head = wrap(title, style.width).map(style.palette.strong);
  const lines = blocks.flatMap((one, k) => {
    const gap = needsGap(one, blocks[k - 1]) ? [''] : [];
    return [...gap, ...blockLines(one, style)];
  });
  return [...head, underline(title, style, '='), ...lines];
}

/** Tables and pictures stand apart from what is before and after them. */
function needsGap(block: Block, before: Block | undefined): boolean {
  if (before === undefined || before.kind === 'heading' || block.kind === 'heading') return false;
  const isLarge = ({ kind }: Block): boolean => ['table', 'drawing', 'bars'].includes(kind);
  return isLarge(block) || isLarge(before) || (block.kind === 'text' && before.kind === 'facts');
}

function blockLines(block: Block, style: Style): string[] {
  const { width, palette } = style;
  switch (block.kind) {
    case 'heading': {
      const lines = wrap(block.text, width).map(palette.strong);
      return ['', ...lines, ...(block.level === 2 ? [underline(block.text, style, '-')] : [])];
    }
    case 'text':
      return wrap(block.text, width).map(toned(block.tone, style));
    case 'list':
      return block.items.flatMap((item) => bullet(item, width)).map(toned(block.tone, style));
    case 'facts':
      return factLines(block.rows, width);
    case 'table':
      return tableLines(block, style);
    case 'drawing':
      return [
        ...wrap(`${block.caption}:`, width),
        ...block.says.flatMap((say) => bullet(say, width)),
      ];
    case 'bars':
      return [
        ...wrap(`${block.caption}:`, width),
        ...block.bars.flatMap(({ name, says }) => bullet(`${name}: ${says}`, width)),
      ];
    case 'photo':
      return bullet(block.text, width);
    case 'blanks':
      return block.labels.flatMap((label) => ['', ...wrap(`${label}: ${'_'.repeat(24)}`, width)]);
  }
}

function underline(text: string, { width }: Style, mark: string): string {
  return mark.repeat(Math.min(width, columnsOf(text)));
}

function toned(tone: Tone | undefined, { palette }: Style): (text: string) => string {
  return tone === undefined ? (text) => text : palette[tone];
}

function bullet(text: string, width: number): string[] {
  return wrap(text, width - 2).map((line, k) => `${k === 0 ? '- ' : '  '}${line}`);
}

function factLines(rows: readonly (readonly [string, string])[], width: number): string[] {
  const indent = Math.min(20, Math.max(...rows.map(([label]) => columnsOf(label))) + 2);
  return rows.flatMap(([label, text]) => labelled(label, text, indent, width));
}

const GAP = 2;
/** A column is never made narrower than its longest word, nor than this asks of it. */
const WIDEST_WORD = 20;

type Table = Extract<Block, { kind: 'table' }>;

/** In columns where they fit, row by row with labels where they do not. */
function tableLines(table: Table, style: Style): string[] {
  const caption = wrap(table.caption, style.width);
  const widths = fitColumns(table, style.width);
  if (widths === undefined)
    return [...caption, ...table.rows.flatMap((row) => stacked(table, row, style))];
  const plain = (text: string): Cell => ({ text });
  const head = rowLines(table.columns.map(plain), widths, style).map(style.palette.quiet);
  return [...caption, ...head, ...table.rows.flatMap((row) => rowLines(row, widths, style))];
}

function fitColumns({ columns, rows }: Table, width: number): number[] | undefined {
  const texts = columns.map((title, k) => [title, ...rows.map((row) => row[k]?.text ?? '')]);
  const wanted = texts.map((column) => Math.max(...column.map((text) => columnsOf(text))));
  const least = texts.map((column) =>
    Math.max(...column.flatMap((text) => text.split(' ').map((word) => columnsOf(word)))),
  );
  const room = width - GAP * (columns.length - 1);
  const sum = (list: readonly number[]): number => list.reduce((total, one) => total + one, 0);
  if (least.some((one) => one > WIDEST_WORD) || sum(least) > room) return undefined;
  const widths = [...wanted];
  while (sum(widths) > room) {
    const spare = widths.map((one, k) => one - (least[k] ?? one));
    const widest = spare.indexOf(Math.max(...spare));
    widths[widest] = (widths[widest] ?? 0) - 1;
  }
  return widths;
}

function rowLines(row: readonly Cell[], widths: readonly number[], style: Style): string[] {
  const cells = row.map(({ text }, k) => wrap(text, widths[k] ?? 1));
  const height = Math.max(1, ...cells.map((lines) => lines.length));
  return Array.from({ length: height }, (_, n) =>
    row
      .map(({ tone }, k) => {
        const text = cells[k]?.[n] ?? '';
        const last = k === row.length - 1;
        const blank = last ? '' : ' '.repeat((widths[k] ?? 0) + GAP - columnsOf(text));
        return `${text === '' ? '' : toned(tone, style)(text)}${blank}`;
      })
      .join('')
      .trimEnd(),
  );
}

function stacked({ columns }: Table, row: readonly Cell[], style: Style): string[] {
  const [first, ...rest] = row;
  const head = labelled(`${columns[0] ?? ''}:`, first?.text ?? '', 2, style.width);
  const more = rest.flatMap(({ text, tone }, k) =>
    text === ''
      ? []
      : labelled(`  ${columns[k + 1] ?? ''}:`, text, 4, style.width).map(toned(tone, style)),
  );
  return [...head, ...more];
}
