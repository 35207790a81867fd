/** Names in letters three rows high, to be read from the bench. */

/** Five rows of dots a letter, written from the top, rows parted by a blank. */
const DOTS: Readonly<Record<string, string>> = {
  A: '.##. #..# #### #..# #..#',
  B: '###. #..# ###. #..# ###.',
  C: '.### #... #... #... .###',
  D: '###. #..# #..# #..# ###.',
  E: '#### #... ###. #... ####',
  F: '#### #... ###. #... #...',
  G: '.### #... #.## #..# .###',
  H: '#..# #..# #### #..# #..#',
  I: '### .#. .#. .#. ###',
  J: '..## ...# ...# #..# .##.',
  K: '#..# #.#. ##.. #.#. #..#',
  L: '#... #... #... #... ####',
  M: '#...# ##.## #.#.# #...# #...#',
  N: '#..# ##.# #.## #..# #..#',
  O: '.##. #..# #..# #..# .##.',
  P: '###. #..# ###. #... #...',
  Q: '.##. #..# #..# #.## .###',
  R: '###. #..# ###. #.#. #..#',
  S: '.### #... .##. ...# ###.',
  T: '##### ..#.. ..#.. ..#.. ..#..',
  U: '#..# #..# #..# #..# .##.',
  V: '#...# #...# .#.#. .#.#. ..#..',
  W: '#...# #...# #.#.# ##.## #...#',
  X: '#...# .#.#. ..#.. .#.#. #...#',
  Y: '#...# .#.#. ..#.. ..#.. ..#..',
  Z: '#### ...# .##. #... ####',
  0: '.##. #.## #..# ##.# .##.',
  1: '.#. ##. .#. .#. ###',
  2: '###. ...# .##. #... ####',
  3: '###. ...# .##. ...# ###.',
  4: '#..# #..# #### ...# ...#',
  5: '#### #... ###. ...# ###.',
  6: '.##. #... ###. #..# .##.',
  7: '#### ...# ..#. .#.. .#..',
  8: '.##. #..# .##. #..# .##.',
  9: '.##. #..# .### ...# .##.',
  '.': '. . . . #',
  _: '... ... ... ... ###',
  '-': '... ... ### ... ...',
  '+': '... .#. ### .#. ...',
  '/': '..# ..# .#. #.. #..',
  ' ': '.. .. .. .. ..',
};

/** Two rows of dots make one row of text. */
const HALVES: Readonly<Record<string, string>> = { '..': ' ', '#.': '▀', '.#': '▄', '##': '█' };
const ROWS = 3;

/**
 * A name in large letters, capitals for small ones, as three lines without blanks at their ends;
 * undefined where a character has none.
 */
export function bigLines(name: string): string[] | undefined {
  const letters = [...name.toUpperCase()].map((letter) => DOTS[letter]?.split(' '));
  const lines = Array.from({ length: ROWS }, () => '');
  for (const dots of letters) {
    if (dots === undefined) return undefined;
    for (let row = 0; row < ROWS; row += 1) {
      const [upper = '', lower = upper.replace(/#/g, '.')] = [dots[2 * row], dots[2 * row + 1]];
      const text = [...upper].map((dot, at) => HALVES[`${dot}${lower[at]}`] ?? ' ').join('');
      lines[row] += `${text} `;
    }
  }
  return lines.map((line) => line.trimEnd());
}

/** Room between two names side by side. */
const GAP = 4;

/**
 * The two points of a probe in large letters, each under its colour: side by side where the width
 * allows, one above the other where not, none where a name is too long for either.
 */
export function bigProbe(red: string, black: string, width: number): string[] {
  const [left, right] = [bigLines(red), bigLines(black)];
  if (left === undefined || right === undefined) return [];
  const one = block('red', left);
  const other = block('black', right);
  const leftWidth = widest(one);
  if (leftWidth + GAP + widest(other) <= width) {
    return one.map((line, row) => `${line.padEnd(leftWidth + GAP)}${other[row] ?? ''}`.trimEnd());
  }
  return Math.max(leftWidth, widest(other)) <= width ? [...one, ...other] : [];
}

function block(colour: string, lines: readonly string[]): string[] {
  return [colour, ...lines];
}

function widest(lines: readonly string[]): number {
  return Math.max(...lines.map((line) => line.length));
}
