/** How text takes up room on a screen, and how to print text of unknown origin. */

const COMBINING = /^[\p{Mn}\p{Me}\p{Cf}]$/u;
/** East Asian wide and full-width characters, and pictures; a fair guess, not the whole table. */
const WIDE =
  /^[\u1100-\u115f\u2e80-\u303e\u3041-\ua4cf\uac00-\ud7a3\uf900-\ufaff\ufe30-\ufe6f\uff00-\uff60\uffe0-\uffe6\u{1f300}-\u{1faff}\u{20000}-\u{3fffd}]$/u;

/** Nearly every name is one: letters, figures and marks, each one column wide. */
const PRINTABLE = /^[ -~]*$/;

/**
 * Columns a text covers on a screen. Tabs run to the next multiple of eight, counted from
 * `column`, where the text begins.
 */
export function columnsOf(text: string, column = 0): number {
  if (PRINTABLE.test(text)) return text.length;
  let at = column;
  for (const character of text) at += columnsOfOne(character, at);
  return at - column;
}

function columnsOfOne(character: string, column: number): number {
  if (character === '\t') return 8 - (column % 8);
  if (character >= ' ' && character <= '~') return 1;
  if (isControl(character)) return 1;
  if (COMBINING.test(character)) return 0;
  return WIDE.test(character) ? 2 : 1;
}

/**
 * The same text with everything that could move a cursor, ring a bell or turn the writing
 * direction replaced by `�`; tabs become one space.
 */
export function harmless(text: string): string {
  if (PRINTABLE.test(text)) return text;
  let out = '';
  for (const character of text) {
    if (character === '\t') out += ' ';
    else out += isControl(character) ? '\ufffd' : character;
  }
  return out;
}

/** Control characters, line ends, lone surrogates and marks that reorder text. */
function isControl(character: string): boolean {
  return /^[\p{Cc}\p{Cs}\u2028\u2029\u200e\u200f\u202a-\u202e\u2066-\u2069\ufeff]$/u.test(
    character,
  );
}
