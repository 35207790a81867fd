/** A longer range than this is a slip of the pen, not a list of parts. */
const LONGEST_RANGE = 2000;

/**
 * `C1, C2-C5 R7` → C1, C2, C3, C4, C5, R7. A range needs one prefix and rising numbers; it is
 * written with a dash, dots or `to`. Commas, semicolons, blanks, `&` and line breaks part names, and
 * `/` does where a designator stands on both sides.
 */
export function expandDesignators(text: string): string[] {
  const joined = text
    .replace(/\s*(?:–|—|…|\.\.+)\s*/g, '-')
    .replace(/(\d)\s+(?:-|to|thru|through)\s+(?=[A-Za-z]*\d)/gi, '$1-')
    .replace(/(\d)\/(?=[A-Za-z]+\d)/g, '$1 ');
  return joined.split(/[\s,;&]+/).flatMap((word) => (word === '' ? [] : expandRange(word)));
}

function expandRange(word: string): string[] {
  const match = /^([A-Za-z_]+)(\d+)-([A-Za-z_]*)(\d+)$/.exec(word);
  if (!match) return [word];
  const [, prefix = '', first = '', again = '', last = ''] = match;
  const span = Number(last) - Number(first);
  const isOneKind = again === '' || again.toUpperCase() === prefix.toUpperCase();
  if (!isOneKind || span < 1 || span > LONGEST_RANGE) return [word];
  const digits = first.startsWith('0') ? first.length : 1;
  return Array.from(
    { length: span + 1 },
    (_, step) => prefix + String(Number(first) + step).padStart(digits, '0'),
  );
}
