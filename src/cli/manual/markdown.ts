/** As much of Markdown as the README is written in, taken apart. */
export type Block =
  | { readonly kind: 'text'; readonly text: string }
  | { readonly kind: 'list'; readonly items: readonly string[] }
  /** Rows of cells; the head is left out, as its words are in the text around it. */
  | { readonly kind: 'table'; readonly rows: readonly (readonly string[])[] }
  | { readonly kind: 'code'; readonly lines: readonly string[] };

/** A heading and what stands under it, up to the next of any level. */
export interface Section {
  readonly title: string;
  /** 1 for the title of the whole. */
  readonly level: number;
  readonly blocks: readonly Block[];
}

/** The sections in their order. */
export function sectionsIn(markdown: string): Section[] {
  const sections: Section[] = [];
  let blocks: Block[] = [];
  for (const piece of piecesOf(markdown)) {
    const [, marks, title] = /^(#+) (.*)$/.exec(piece[0] ?? '') ?? [];
    if (marks === undefined || title === undefined) blocks.push(blockOf(piece));
    else {
      blocks = [];
      sections.push({ title: bare(title), level: marks.length, blocks });
    }
  }
  return sections;
}

/** Lines that belong together: cut at blank lines, code kept whole, a heading by itself. */
function piecesOf(markdown: string): string[][] {
  const pieces: string[][] = [];
  let piece: string[] = [];
  let isCode = false;
  const end = (): void => {
    if (piece.length > 0) pieces.push(piece);
    piece = [];
  };
  for (const line of markdown.split(/\r?\n/)) {
    const isFence = line.startsWith('```');
    if (!isCode && (line.trim() === '' || line.startsWith('#') || isFence)) end();
    if (isCode || line.trim() !== '') piece.push(line);
    if (isFence) isCode = !isCode;
    if (!isCode && (line.startsWith('#') || isFence)) end();
  }
  end();
  return pieces;
}

function blockOf(lines: readonly string[]): Block {
  const [first = ''] = lines;
  if (first.startsWith('```')) return { kind: 'code', lines: lines.slice(1, -1) };
  if (first.startsWith('|')) return { kind: 'table', rows: lines.slice(2).map(cellsOf) };
  if (/^- /.test(first)) return { kind: 'list', items: itemsOf(lines) };
  return { kind: 'text', text: bare(lines.join(' ')) };
}

function itemsOf(lines: readonly string[]): string[] {
  const items: string[] = [];
  for (const line of lines) {
    if (line.startsWith('- ')) items.push(line.slice(2));
    else items.push(`${items.pop() ?? ''} ${line.trim()}`);
  }
  return items.map(bare);
}

/** A bar inside a cell is written `\|`. */
function cellsOf(row: string): string[] {
  const cells = row.replaceAll('\\|', '\u0000').split('|').slice(1, -1);
  return cells.map((cell) => bare(cell.replaceAll('\u0000', '|').trim()));
}

/** Without the marks of links and of weight; those of code stay, and tell what is typed. */
function bare(text: string): string {
  return text
    .trim()
    .replace(/\[([^\]]*)\]\([^)]*\)/g, '$1')
    .replace(/\*\*([^*]*)\*\*/g, '$1');
}
