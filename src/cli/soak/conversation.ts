/** What a person says at the soak screen, as lines of the record. */
import { InputError } from '../../board/diagnostic.ts';
import type { Board } from '../../board/model.ts';
import { isOn, type SoakView } from '../../report/soak.ts';

/** An observation the screen asks for: a bare figure answers it. */
export interface Asked {
  /** Tells it from others: a part, or a rail. */
  readonly name: string;
  /** `Q3, °C:` */
  readonly question: string;
  /** The line for a figure. */
  readonly lineFor: (figure: string) => string;
}

/**
 * The next observation to be made: a temperature or a voltage not taken within the interval.
 * @param skipped names passed over for now
 */
export function askedNow(view: SoakView, skipped: ReadonlySet<string>): Asked | undefined {
  if (!isOn(view)) return undefined;
  const isDue = (after: number | undefined): boolean =>
    after === undefined || view.elapsed - after >= view.every;
  const temps = view.watch
    .filter(({ why, after }) => why !== 'seen' && isDue(after))
    .map(({ part }) => ({
      name: part,
      question: `${part}, °C:`,
      lineFor: (figure: string) => `temp ${part} ${figure} C`,
    }));
  const volts = view.rails
    .filter(({ after }) => isDue(after))
    .map(({ rail, red, black }) => ({
      name: `rail ${rail}`,
      question: `${rail}, ${red} to ${black}, V:`,
      lineFor: (figure: string) => `powered ${red} ${black} ${figure} V`,
    }));
  return [...temps, ...volts].find(({ name }) => !skipped.has(name));
}

const FIGURE = '([+-]?\\d+(?:[.,]\\d+)?)';
const BARE = new RegExp(`^${FIGURE} ?(?:°? ?[CV])?$`, 'i');
const PART_TEMPERATURE = new RegExp(`^(\\S+) ${FIGURE}(?: ?°? ?C)?$`, 'i');
const POINTS_VOLTS = new RegExp(`^(\\S+) (\\S+) ${FIGURE} ?V$`, 'i');
const SHORT_VERB = /^(finding|stop(?:ped)?|pass(?:ed)?)\b\s*(.*)$/is;
/** Lines that may be said of a board under power. */
const ALLOWED = new Set([
  'temp',
  'powered',
  'draws',
  'function',
  'soak',
  'note',
  'photo',
  'undo',
  'redo',
]);

/**
 * The line to record for what was typed: a figure for what was asked, a part and its temperature, two
 * points and their voltage, `finding …`, `stop …`, `passed`, or a whole line of the notation.
 * @throws {InputError} for a line that belongs to a cold board, and for a pass with something missing
 */
export function soakLine(board: Board, view: SoakView, text: string, asked?: Asked): string {
  const plain = text.trim().replace(/\s+/g, ' ');
  const [, bare] = BARE.exec(plain) ?? [];
  if (bare !== undefined && asked !== undefined) return asked.lineFor(dotted(bare));
  const [, verb, words = ''] = SHORT_VERB.exec(plain) ?? [];
  if (verb !== undefined) return ending(view, verb.toLowerCase(), words);
  const [, red, black, volts] = POINTS_VOLTS.exec(plain) ?? [];
  if (volts !== undefined && !ALLOWED.has(String(red).toLowerCase())) {
    return `powered ${red} ${black} ${dotted(volts)} V`;
  }
  const [, part = '', celsius] = PART_TEMPERATURE.exec(plain) ?? [];
  if (celsius !== undefined && isPart(board, part)) return `temp ${part} ${dotted(celsius)} C`;
  const [first = ''] = plain.split(' ');
  if (ALLOWED.has(first.toLowerCase())) return plain;
  refuse(
    `the board is under power: "${plain}" belongs to a cold board, or is no observation`,
    'write e.g. Q3 71 C, TP1 TP2 47.9 V, finding fan rattles, stop smoke at C7',
  );
}

function ending(view: SoakView, verb: string, words: string): string {
  if (verb === 'finding') return `soak finding ${words}`.trim();
  if (verb.startsWith('stop')) return `soak stopped ${words}`.trim();
  if (view.needs.length > 0) {
    refuse(
      `not passed yet: ${view.needs.join('; ')}`,
      'to end it early all the same, write soak passed and why',
    );
  }
  return `soak passed ${words}`.trim();
}

function isPart(board: Board, name: string): boolean {
  const wanted = name.toLowerCase();
  return board.parts.some((part) => part.name.toLowerCase() === wanted);
}

function dotted(figure: string): string {
  return figure.replace(',', '.');
}

function refuse(message: string, hint: string): never {
  throw new InputError([{ code: 'UNDER_POWER', severity: 'error', message, hint }]);
}
