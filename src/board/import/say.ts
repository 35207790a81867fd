/** Words of the import's messages. */

/** `1 part`, `3 parts`. */
export function counted(count: number, word: string): string {
  return `${count} ${word}${count === 1 ? '' : 's'}`;
}

/** The first eight and how many more. */
export function listed(words: readonly string[], separator = ', '): string {
  const shown = words.slice(0, 8).join(separator);
  return words.length > 8 ? `${shown}${separator}and ${words.length - 8} more` : shown;
}
