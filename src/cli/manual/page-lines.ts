import type { Style } from '../../report/style.ts';
import { labelled, wrap } from '../../report/wrap.ts';
import type { Block, Section } from './markdown.ts';
import type { Topic } from './topics.ts';

/** A topic as lines of text, its title first. */
export function topicLines({ sections }: Topic, style: Style): string[] {
  const lines = sections.flatMap((section) => [...sectionLines(section, style), '']);
  return lines.slice(0, -1);
}

function sectionLines({ title, blocks }: Section, style: Style): string[] {
  const parts = blocks.map((block) => blockLines(block, style));
  return [
    style.palette.strong(title),
    '',
    ...parts.flatMap((part, k) => (k === 0 ? part : ['', ...part])),
  ];
}

function blockLines(block: Block, { width, palette }: Style): string[] {
  switch (block.kind) {
    case 'text':
      return wrap(block.text, width);
    case 'list':
      return block.items.flatMap((item) => labelled('-', item, 2, width));
    // What is typed is never broken.
    case 'code':
      return block.lines.map((line) => palette.quiet(`  ${line}`.trimEnd()));
    case 'table':
      return block.rows.flatMap((row) => rowLines(row, width));
  }
}

/** The first cell stands before the others where there is room, else on lines of its own. */
function rowLines([first = '', ...rest]: readonly string[], width: number): string[] {
  const [left, right] = [first.replaceAll('`', ''), rest.join('; ')];
  const indent = width < 70 ? 6 : 32;
  if (left.length < indent - 1) return labelled(left, right, indent, width);
  return [...labelled('', left, 2, width).map(back), ...labelled('', right, indent, width)];
}

/** Only what follows a first line is indented. */
function back(line: string, at: number): string {
  return at === 0 ? line.trimStart() : line;
}
