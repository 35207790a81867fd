/** What cannot be said of a board in the state it is in. */
import type { Diagnostic } from '../board/diagnostic.ts';
import type { Board } from '../board/model.ts';
import { type BoardState, netPairKey } from '../circuit/state.ts';
import { printPin } from './points.ts';
import type { Say } from './say.ts';
import type { Scanned } from './scan.ts';
import { type Line, problem, type Word } from './words.ts';

interface Bench {
  readonly board: Board;
  readonly line: Line;
  readonly state: BoardState;
}

/** Faults of a line that contradicts the board's state; none when it may stand. */
export function againstState(bench: Bench, say: Say, scanned: Scanned): Diagnostic[] {
  const names = 'names' in scanned ? scanned.names : [];
  switch (say.do) {
    case 'read':
      return 'off' in scanned && scanned.off ? onBoard(bench, say, scanned.off) : [];
    case 'lift':
      return notLiftable(bench, say, names);
    case 'remove':
      return each(names, say.parts, (word, part) => alreadyOff(bench, word, part));
    case 'refit':
      return each(names, say.parts, (word, part) => nothingToRefit(bench, word, part));
    case 'reflow':
      return notReflowable(bench, say.pins, names);
    case 'link':
      return alreadyLinked(bench, say.nets, names);
    default:
      return [];
  }
}

function each(
  words: readonly Word[],
  parts: readonly number[],
  check: (word: Word, part: number) => Diagnostic[],
): Diagnostic[] {
  return parts.flatMap((part, at) => check(words[at] ?? { text: '', column: 0 }, part));
}

function fault(bench: Bench, words: readonly Word[], message: string, hint?: string): Diagnostic[] {
  return [problem(bench.line, words, { code: 'NOT_NOW', message, hint })];
}

/** One leg may still hold the part: with the others in the air it reads as if it were off. */
function onBoard(bench: Bench, say: Extract<Say, { do: 'read' }>, word: Word): Diagnostic[] {
  const { board, state } = bench;
  const part = board.parts[say.reading.offPart ?? -1];
  if (part === undefined || state.off.has(part.index)) return [];
  const held = part.pins.filter((pin) => !state.lifted.has(pin));
  if (held.length <= 1) return [];
  return fault(
    bench,
    [word],
    `${part.name} is still on the board`,
    `lift or remove it first, or read from its pads: ${printPin(board, say.reading.red.pin ?? -1)}`,
  );
}

function notLiftable(
  bench: Bench,
  say: Extract<Say, { do: 'lift' }>,
  words: readonly Word[],
): Diagnostic[] {
  const { board, state } = bench;
  const name = board.parts[say.part]?.name ?? '';
  if (state.off.has(say.part)) return fault(bench, words, `${name} is off the board already`);
  const lifted = say.pins.filter((pin) => state.lifted.has(pin));
  if (lifted.length === 0) return [];
  const legs = lifted.map((pin) => printPin(board, pin)).join(', ');
  return fault(bench, words, `${legs} is lifted already`, `if it was put back, say refit ${name}`);
}

function alreadyOff({ board, line, state }: Bench, word: Word, part: number): Diagnostic[] {
  if (!state.off.has(part)) return [];
  const name = board.parts[part]?.name ?? '';
  const hint = `if it was put back, say refit ${name} or replace ${name}`;
  return fault({ board, line, state }, [word], `${name} is off the board already`, hint);
}

function nothingToRefit(bench: Bench, word: Word, part: number): Diagnostic[] {
  const { board, state } = bench;
  const found = board.parts[part];
  const isLoose =
    state.off.has(part) || (found?.pins.some((pin) => state.lifted.has(pin)) ?? false);
  if (isLoose) return [];
  const message = `${found?.name ?? ''} has every leg on its pad: there is nothing to refit`;
  return fault(bench, [word], message, `a new piece is said with replace ${found?.name ?? ''}`);
}

function notReflowable(
  bench: Bench,
  pins: readonly number[],
  words: readonly Word[],
): Diagnostic[] {
  const { board, state } = bench;
  const loose = pins.filter(
    (pin) => state.lifted.has(pin) || state.off.has(board.pins[pin]?.part ?? -1),
  );
  const [first] = loose;
  if (first === undefined) return [];
  const name = board.parts[board.pins[first]?.part ?? -1]?.name ?? '';
  return fault(bench, words, `${printPin(board, first)} is not on its pad`, `refit ${name} first`);
}

function alreadyLinked(
  bench: Bench,
  nets: readonly [number, number],
  words: readonly Word[],
): Diagnostic[] {
  const isKnown = bench.state.links.some(([a, b]) => netPairKey(a, b) === netPairKey(...nets));
  return isKnown ? fault(bench, words, 'this connection is known already') : [];
}
