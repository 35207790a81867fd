/** The manual page, in the man macros of roff, from the table of commands and the README. */
import type { CommandSpec } from '../commands.ts';
import type { Block, Section } from './markdown.ts';
import type { Topic } from './topics.ts';

/**
 * @param introduction paragraphs that say what it is
 * @param topics of the README; those inside another are told there
 */
export function manPage(
  version: string,
  commands: readonly CommandSpec[],
  introduction: readonly string[],
  topics: readonly Topic[],
): string {
  const sections = topics.filter(({ sections: [first] }) => first?.level === 2);
  const lines = [
    `.TH TRACE\\-SHORT 1 "" "trace\\-short ${escaped(version)}" ""`,
    '.SH NAME',
    'trace\\-short \\- finds shorts on a cold power board',
    '.SH SYNOPSIS',
    '.B trace\\-short',
    '[\\fICOMMAND\\fR [\\fIARGUMENT\\fR ...] [\\fIOPTION\\fR ...]]',
    '.SH DESCRIPTION',
    ...introduction.flatMap((text) => ['.PP', ...textLines(text)]),
    '.SH COMMANDS',
    ...commands.flatMap(commandLines),
    ...sections.filter(({ name }) => name !== 'commands').flatMap((topic) => topicLines(topic)),
    // The table of commands stands above; what is said under it has a place of its own.
    ...sections.filter(({ name }) => name === 'commands').flatMap((topic) => underCommands(topic)),
  ];
  return `${lines.join('\n')}\n`;
}

function commandLines({ name, args, summary, options }: CommandSpec): string[] {
  return [
    '.TP',
    `.B trace\\-short ${escaped(`${name} ${args}`.trim())}`,
    `${sentence(escaped(summary))}.`,
    ...(options.length === 0 ? [] : ['.RS']),
    ...options.flatMap(({ flags, help }) => ['.TP', `.B ${escaped(flags)}`, escaped(help)]),
    ...(options.length === 0 ? [] : ['.RE']),
  ];
}

function sentence(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

function topicLines({ sections }: Topic): string[] {
  return sections.flatMap((section) => sectionLines(section));
}

function underCommands({ sections: [first, ...rest] }: Topic): string[] {
  const blocks = (first?.blocks ?? []).filter(({ kind }) => kind !== 'table');
  const usage: Section = { title: 'Usage', level: 2, blocks };
  return [usage, ...rest].flatMap((section) => sectionLines(section));
}

function sectionLines({ title, level, blocks }: Section): string[] {
  const head = level <= 2 ? `.SH ${escaped(title.toUpperCase())}` : `.SS ${escaped(title)}`;
  return [head, ...blocks.flatMap(blockLines)];
}

function blockLines(block: Block): string[] {
  switch (block.kind) {
    case 'text':
      return ['.PP', ...textLines(block.text)];
    case 'list':
      return block.items.flatMap((item) => ['.IP \\(bu 2', ...textLines(item)]);
    case 'code':
      return ['.PP', '.RS', '.nf', ...block.lines.map(line), '.fi', '.RE'];
    case 'table':
      return block.rows.flatMap(([first = '', ...rest]) => [
        '.TP',
        `.B ${escaped(first.replaceAll('`', ''))}`,
        ...textLines(rest.join('; ')),
      ]);
  }
}

/** Code in bold; a sentence may stand on one line, however long. */
function textLines(text: string): string[] {
  return [line(text).replace(/`([^`]*)`/g, '\\fB$1\\fR')];
}

/** A line may not begin as a request of roff does. */
function line(text: string): string {
  return escaped(text).replace(/^(?=[.'])/, '\\&');
}

function escaped(text: string): string {
  return text.replaceAll('\\', '\\e').replaceAll('-', '\\-');
}
