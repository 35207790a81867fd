/** The one-line notation: what a person types, files hold and the record keeps. */
import { type Diagnostic, InputError } from '../board/diagnostic.ts';
import type { Board, Part } from '../board/model.ts';
import type { Injection, Point } from '../circuit/reading.ts';
import type { BoardState } from '../circuit/state.ts';
import type { StepTarget } from '../steps/step-key.ts';
import { resolveGrowth } from './growth/resolve.ts';
import { isGrowth, type ScannedGrowth } from './growth/scan.ts';
import { againstInjection, type InjectionNow, injectExample } from './injection/rules.ts';
import { findLeg, findNet, findPart, findPin, findPoint, listed, printPin } from './points.ts';
import { resolveOfJob } from './resolve-job.ts';
import { distinct, fail, partsOf, type Resolving, take } from './resolving.ts';
import type { Say } from './say.ts';
import { againstState } from './say-rules.ts';
import { type Scanned, type ScannedReach, scanSay } from './scan.ts';
import type { PassedWords } from './scan-pass.ts';
import { lineOf, problem, type SayPlace, splitWords, type Word } from './words.ts';

export { printSay } from './print-say.ts';

/**
 * Reads one line of the notation.
 * @param state the board as it is; when given, what cannot be true of it is refused
 *   (`off Q3:` while Q3 is on the board, lifting what is lifted)
 * @param place where the line stands, for the error's frame
 * @throws {InputError} with all that is wrong in the line
 */
export function parseSay(board: Board, text: string, state?: BoardState, place?: SayPlace): Say {
  return parseSayUnder(board, text, { state }, place);
}

/** What holds on the bench when a line is said. */
export interface SaidUnder extends InjectionNow {
  /** The board as it is; without it nothing is refused for what holds on the bench. */
  readonly state?: BoardState | undefined;
}

/**
 * Reads one line of the notation, as {@link parseSay}, said under what holds on the bench: while a
 * current is injected, volts between two points are read along the copper.
 * @throws {InputError} with all that is wrong in the line
 */
export function parseSayUnder(board: Board, text: string, under: SaidUnder, place?: SayPlace): Say {
  const { state, injection } = under;
  const line = lineOf(text, place);
  const isPoint = (word: Word): boolean => 'ok' in findPoint(board, line, word);
  const scanned = scanSay(line, isPoint, injection !== undefined);
  const reading: Resolving = { board, line, faults: [] };
  const say = isGrowth(scanned)
    ? resolveGrowth(reading, scanned, state !== undefined)
    : resolve(reading, scanned, injection);
  if (say === undefined || reading.faults.length > 0) throw new InputError(reading.faults);
  const against =
    state === undefined ? [] : againstBench(reading, { ...under, state }, say, scanned);
  if (against.length > 0) throw new InputError(against);
  return say;
}

function againstBench(
  { board, line }: Resolving,
  under: SaidUnder & { readonly state: BoardState },
  say: Say,
  scanned: Scanned,
): Diagnostic[] {
  const refusal = againstInjection(board, under, say);
  if (refusal === undefined) return againstState({ board, line, state: under.state }, say, scanned);
  return [problem(line, splitWords(line.text), { code: 'NOT_NOW', ...refusal })];
}

function resolve(
  reading: Resolving,
  scanned: Exclude<Scanned, ScannedGrowth>,
  injection: Injection | undefined,
): Say | undefined {
  switch (scanned.do) {
    case 'undo':
    case 'redo':
    case 'note':
    case 'inject-off':
      return scanned;
    case 'inject': {
      const points = twoPoints(reading, scanned.red, scanned.black);
      return points && { do: 'inject', ...points, amps: scanned.amps };
    }
    case 'pass': {
      const step = resolvePassed(reading, scanned.step);
      return step && { do: 'pass', step, text: scanned.text };
    }
    case 'unreachable':
    case 'reachable':
      return resolveReached(reading, scanned);
    case 'read':
      return resolveReading(reading, scanned, injection);
    case 'look':
      return resolveLook(reading, scanned);
    case 'lift':
      return resolveLift(reading, scanned.names);
    case 'remove':
    case 'refit':
    case 'replace':
      return {
        do: scanned.do,
        parts: distinct(reading, scanned.names, partsOf(reading, scanned.names)),
      };
    case 'reflow':
      return resolveReflow(reading, scanned.names);
    case 'clean':
    case 'link': {
      const nets = netPair(reading, scanned.names);
      return nets && { do: scanned.do, nets };
    }
    case 'mend': {
      const net =
        scanned.names[0] && take(reading, findNet(reading.board, reading.line, scanned.names[0]));
      return net && { do: 'mend', net: net.index };
    }
    default:
      return resolveOfJob(reading, scanned);
  }
}

function resolveReading(
  reading: Resolving,
  said: Extract<Scanned, { do: 'read' }>,
  injection: Injection | undefined,
): Say | undefined {
  const { board, line } = reading;
  const { mode, value } = said.meter;
  const part = said.off && take(reading, findPart(board, line, said.off));
  if (said.off !== undefined && part === undefined) return undefined;
  const points = twoPoints(reading, said.red, said.black, part);
  if (points === undefined) return undefined;
  if (mode !== 'millivolts') {
    const off = part === undefined ? {} : { offPart: part.index };
    return { do: 'read', reading: { mode, ...points, value, ...off } };
  }
  if (injection !== undefined && part === undefined) {
    return { do: 'read', reading: { mode, ...points, value, injected: injection } };
  }
  return part === undefined
    ? notAlongCopper(reading, 'no current is injected to make a voltage along the copper')
    : notAlongCopper(reading, `no injected current runs through ${part.name} off the board`);
}

/** The step a `pass` names; its points and parts are those of the line that would record it. */
function resolvePassed(reading: Resolving, words: PassedWords): StepTarget | undefined {
  if (words.do === 'read') {
    const { board, line } = reading;
    const part = words.off && take(reading, findPart(board, line, words.off));
    if (words.off !== undefined && part === undefined) return undefined;
    const points = twoPoints(reading, words.red, words.black, part);
    const off = part === undefined ? {} : { offPart: part.index };
    return points && { kind: 'read', probe: { ...points, ...off } };
  }
  if (words.do === 'look') return resolvePassedLook(reading, words.names);
  const say = resolve(reading, words, undefined);
  switch (say?.do) {
    case 'lift':
      return { kind: 'lift', part: say.part, pins: say.pins };
    case 'reflow':
      return { kind: 'reflow', pins: say.pins };
    case 'remove':
    case 'refit':
    case 'replace':
      return { kind: say.do, parts: say.parts };
    default:
      return undefined;
  }
}

function resolvePassedLook(reading: Resolving, names: readonly Word[]): StepTarget | undefined {
  const { board, line } = reading;
  const [name] = names;
  if (name === undefined) return undefined;
  if (names.length > 1) {
    const nets = netPair(reading, names);
    return nets && { kind: 'inspect', nets };
  }
  if (!name.text.includes('.')) {
    const part = take(reading, findPart(board, line, name));
    return part && { kind: 'look', part: part.index };
  }
  const pin = take(reading, findPin(board, line, name));
  return pin && { kind: 'look', part: pin.part, pin: pin.index };
}

/** A net goes first, then a pin, then a part as a whole. */
function resolveReached(
  reading: Resolving,
  { do: verb, name, text }: ScannedReach,
): Say | undefined {
  const { board, line } = reading;
  const said = { do: verb, ...(text === undefined ? {} : { text }) };
  const point = findPoint(board, line, name);
  const net = 'ok' in point && point.ok.pin === undefined ? board.nets[point.ok.net] : undefined;
  if (net?.points.includes(name.text) && net.name !== name.text) {
    const message = `"${name.text}" is a place on ${net.name} that the board file names, and no pin`;
    const hint = `where no place on it can be reached: ${verb} ${net.name}`;
    return fail(reading, [name], 'NO_PIN', message, hint);
  }
  if (net !== undefined) return { ...said, net: net.index };
  if (name.text.includes('.')) {
    const pin = take(reading, findPin(board, line, name));
    return pin && { ...said, part: pin.part, pin: pin.index };
  }
  const part = take(reading, findPart(board, line, name));
  return part && { ...said, part: part.index };
}

function notAlongCopper(reading: Resolving, message: string): undefined {
  const words = splitWords(reading.line.text);
  const hint = `say what is injected first: ${injectExample(reading.board)}; a diode test is read in V or mV`;
  return fail(reading, words, 'NOT_INJECTED', message, hint);
}

/** Two different points: of the board, or of one part off it. */
function twoPoints(
  reading: Resolving,
  redWord: Word,
  blackWord: Word,
  part?: Part,
): { readonly red: Point; readonly black: Point } | undefined {
  const red = pointOf(reading, redWord, part);
  const black = pointOf(reading, blackWord, part);
  if (red === undefined || black === undefined) return undefined;
  if (red.net !== black.net || red.pin !== black.pin) return { red, black };
  const message = `both probes are on "${blackWord.text}"`;
  return fail(reading, [redWord, blackWord], 'SAME_POINT', message, 'name two different points');
}

function pointOf(reading: Resolving, word: Word, part: Part | undefined): Point | undefined {
  const { board, line } = reading;
  if (part === undefined) return take(reading, findPoint(board, line, word));
  const pin = take(reading, findLeg(board, line, part, word));
  return pin && { net: pin.net, pin: pin.index };
}

function resolveLift(reading: Resolving, names: readonly Word[]): Say | undefined {
  const { board, line } = reading;
  const [first] = names;
  const whole = first && partWithoutDot(reading, first);
  if (first !== undefined && whole !== undefined && names.length === 1)
    return liftWhole(reading, first, whole);
  const pins = names.flatMap((word) => take(reading, findPin(board, line, word)) ?? []);
  if (pins.length < names.length) return undefined;
  const part = pins[0]?.part ?? -1;
  const stray = pins.findIndex((pin) => pin.part !== part);
  if (stray >= 0) {
    const message = 'legs of one part at a time';
    return fail(
      reading,
      names.slice(stray, stray + 1),
      'TWO_PARTS',
      message,
      'write one line for each part',
    );
  }
  return {
    do: 'lift',
    part,
    pins: distinct(
      reading,
      names,
      pins.map((pin) => pin.index),
    ),
  };
}

function partWithoutDot(reading: Resolving, word: Word): Part | undefined {
  const found = word.text.includes('.') ? undefined : findPart(reading.board, reading.line, word);
  return found !== undefined && 'ok' in found ? found.ok : undefined;
}

function liftWhole(reading: Resolving, word: Word, part: Part): Say | undefined {
  const last = part.pins.at(-1);
  if (last !== undefined && part.pins.length <= 2)
    return { do: 'lift', part: part.index, pins: [last] };
  const message = `"${word.text}" has ${part.pins.length} legs; say which one is lifted`;
  const legs = listed(part.pins.map((pin) => `lift ${printPin(reading.board, pin)}`));
  return fail(reading, [word], 'WHICH_LEG', message, `write ${legs}, or remove ${part.name}`);
}

function resolveReflow(reading: Resolving, names: readonly Word[]): Say {
  const { board, line } = reading;
  const pins = names.flatMap((word) => {
    const part = partWithoutDot(reading, word);
    if (part !== undefined) return part.pins;
    const pin = take(reading, findPin(board, line, word));
    return pin === undefined ? [] : [pin.index];
  });
  return { do: 'reflow', pins: distinct(reading, names, pins) };
}

function netPair(
  reading: Resolving,
  names: readonly Word[],
): readonly [number, number] | undefined {
  const { board, line } = reading;
  const [a, b] = names.map((word) => take(reading, findNet(board, line, word)));
  if (a === undefined || b === undefined) return undefined;
  if (a !== b) return [a.index, b.index];
  return fail(reading, names, 'SAME_NET', `both names are the net "${a.name}"`, 'name two nets');
}

function resolveLook(reading: Resolving, said: Extract<Scanned, { do: 'look' }>): Say | undefined {
  const { at, finding, findingWords } = said;
  const [first] = at;
  if (first === undefined) return undefined;
  if (at.length === 2) {
    const nets = netPair(reading, at);
    if (nets === undefined || finding === 'looks sound')
      return nets && { do: 'look', nets, finding };
    const hint = 'write look A B looks sound, or clean A B once a bridge is removed';
    return fail(
      reading,
      findingWords,
      'BAD_LOOK',
      `"${finding}" is said of a part, not of two nets`,
      hint,
    );
  }
  return lookAtPart(reading, first, said);
}

const PART_ONLY: ReadonlySet<string> = new Set(['missing', 'wrong part', 'leaking', 'warm']);

function lookAtPart(
  reading: Resolving,
  word: Word,
  { finding, findingWords }: Extract<Scanned, { do: 'look' }>,
): Say | undefined {
  const { board, line } = reading;
  if (!word.text.includes('.')) {
    const part = take(reading, findPart(board, line, word));
    if (part === undefined || finding !== 'off its pad')
      return part && { do: 'look', part: part.index, finding };
    const legs = listed(part.pins.map((pin) => `look ${printPin(board, pin)} off its pad`));
    return fail(
      reading,
      [word],
      'WHICH_LEG',
      `say which leg of "${word.text}" is off its pad`,
      `write ${legs}`,
    );
  }
  const pin = take(reading, findPin(board, line, word));
  if (pin === undefined) return undefined;
  if (!PART_ONLY.has(finding)) return { do: 'look', part: pin.part, pin: pin.index, finding };
  const name = board.parts[pin.part]?.name ?? '';
  const message = `"${finding}" is said of a whole part`;
  return fail(reading, findingWords, 'BAD_LOOK', message, `write look ${name} ${finding}`);
}
