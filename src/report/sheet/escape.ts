import { harmless } from '../../board/shown-text.ts';

const ENTITIES: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
};

/** Text as it stands in HTML, between tags and in quoted attributes alike. */
export function escapeHtml(text: string): string {
  return harmless(text).replace(/[&<>"']/g, (char) => ENTITIES[char] ?? char);
}

/** Text as it stands inside a line of Markdown (CommonMark with tables), links and tags included. */
export function escapeMarkdown(text: string): string {
  return harmless(text)
    .replace(/[\\`*_{}[\]<>#|~&$^]/g, '\\$&')
    .replace(/:\/\//g, '\\://')
    .replace(/(www)\./gi, '$1\\.')
    .replace(/@/g, '\\@')
    .replace(/^(\s*)([-+=:])/, '$1\\$2')
    .replace(/^(\s*\d+)([.)])/, '$1\\$2');
}
