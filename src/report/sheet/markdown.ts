import type { Block, SheetDocument } from './blocks.ts';
import { escapeMarkdown as md } from './escape.ts';

/** The sheet as Markdown: CommonMark, with pipe tables. */
export function sheetMarkdown({ title, blocks }: SheetDocument): string {
  const parts = blocks.map(blockText).filter((text) => text !== '');
  return `${[`# ${md(title)}`, ...parts].join('\n\n')}\n`;
}

function blockText(block: Block): string {
  switch (block.kind) {
    case 'heading':
      return `${'#'.repeat(block.level)} ${md(block.text)}`;
    case 'text':
      return block.tone === undefined ? md(block.text) : `**${md(block.text)}**`;
    case 'list':
      return listText(block.items);
    case 'facts':
      return listText(block.rows.map(([label, text]) => `${label}: ${text}`));
    case 'table':
      return tableText(block);
    case 'drawing':
      return `${md(block.caption)}:\n\n${listText(block.says)}`;
    case 'bars':
      return `${md(block.caption)}:\n\n${listText(block.bars.map(({ name, says }) => `${name}: ${says}`))}`;
    case 'photo':
      return listText([block.text]);
    case 'blanks':
      return listText(block.labels.map((label) => `${label}:`));
  }
}

function listText(items: readonly string[]): string {
  return items.map((item) => `- ${md(item)}`).join('\n');
}

function tableText({ caption, columns, rows }: Extract<Block, { kind: 'table' }>): string {
  const row = (cells: readonly string[]): string => `| ${cells.map(md).join(' | ')} |`;
  const lines = [
    row(columns),
    `|${columns.map(() => ' --- |').join('')}`,
    ...rows.map((cells) => row(cells.map(({ text }) => text))),
  ];
  return `${md(caption)}\n\n${lines.join('\n')}`;
}
