import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { boardWarnings } from '../../../src/board/board-warnings.ts';
import { InputError } from '../../../src/board/diagnostic.ts';
import { loadBoard } from '../../../src/board/load.ts';
import type { Board } from '../../../src/board/model.ts';
import {
  type Answer,
  isComplaint,
  printAnswer,
  type Question,
  readAnswer,
} from '../../../src/board/skeletons/question.ts';
import type { Skeleton } from '../../../src/board/skeletons/skeleton.ts';
import {
  questionsOf,
  readSettings,
  SKELETONS,
  skeletonBoard,
  skeletonNamed,
} from '../../../src/board/skeletons/skeleton-board.ts';
import { isHealthyBeep, openWorkbench } from '../../../src/steps/advise.ts';
import { play } from '../../cases/bench.ts';

const volts = (most: number) =>
  fc.oneof(fc.integer({ min: 1, max: most }), fc.constant(3.3), fc.constant(most));

function answers(question: Question): fc.Arbitrary<Answer> {
  switch (question.is) {
    case 'count':
      return fc.integer({ min: question.least, max: question.most });
    case 'volts':
      return volts(question.most);
    case 'volts-list':
      return fc.array(volts(question.most), { minLength: 1, maxLength: 6 });
    case 'yes-or-no':
      return fc.boolean();
    case 'choice':
      return fc.constantFrom(...question.words);
    case 'designators':
      return fc.constantFrom('1', '101', 'Q101 R201', 'c9 u7, D40');
    case 'text':
      return fc.constantFrom('Pump drive', 'yes', '12 V: "main"', 'null');
  }
}

const sizes = (stage: Skeleton): fc.Arbitrary<Map<string, Answer>> =>
  fc
    .record(Object.fromEntries(questionsOf(stage).map((each) => [each.name, answers(each)])))
    .map((given) => new Map(Object.entries(given)));

/** The board of a size, or undefined where two answers rule each other out. */
function drawn(stage: Skeleton, size: Map<string, Answer>): Board | undefined {
  try {
    const { yaml } = skeletonBoard(stage, size);
    const { board, warnings } = loadBoard(yaml, 'made.yaml');
    expect([...warnings, ...boardWarnings(board)]).toEqual([]);
    return board;
  } catch (error) {
    if (error instanceof InputError && /output lies/.test(error.message)) return undefined;
    throw error;
  }
}

const usual = (stage: Skeleton): Board => {
  const board = drawn(stage, new Map());
  if (board === undefined) throw new Error('the usual size is no such stage');
  return board;
};

const SWITCH = new Set(['n-mosfet', 'igbt', 'npn']);
const names = SKELETONS.map((stage) => stage.name);

describe.each(names)('%s', (name) => {
  const stage = skeletonNamed(name);

  test('loads at any size without an error or a warning, and no rail beeps', () => {
    fc.assert(
      fc.property(sizes(stage), (size) => {
        const board = drawn(stage, size);
        if (board === undefined) return;
        const workbench = openWorkbench(board);
        for (const { name: rail, plus, minus } of board.rails) {
          if (rail === 'mains') continue;
          const probe = { mode: 'continuity', red: { net: plus }, black: { net: minus } } as const;
          expect(isHealthyBeep(workbench, probe), rail).toBe(false);
        }
      }),
      { numRuns: 25 },
    );
  });

  test('names its parts in a row from the first designator on', () => {
    const { yaml } = skeletonBoard(stage, new Map([['first', 'C201 R7']]));
    const { board } = loadBoard(yaml, 'made.yaml');
    const numbers = (letters: string): number[] =>
      board.parts.flatMap((part) => {
        const match = /^([A-Z]+)(\d+)$/.exec(part.name);
        return match?.[1] === letters ? [Number(match[2])] : [];
      });
    for (const [letters, first] of [
      ['C', 201],
      ['R', 7],
      ['J', 1],
    ] as const) {
      const found = numbers(letters);
      expect(found, letters).toEqual(found.map((_, i) => first + i));
    }
  });

  test('puts the transistors of a bank across the same nets, so that one shorted reads like all', () => {
    const board = usual(stage);
    for (const part of board.parts.filter(({ kind }) => SWITCH.has(kind.name))) {
      const high = part.pins.find((pin) => /^[DC]$/.test(board.pins[pin]?.name ?? ''));
      const low = part.pins.find((pin) => /^[SE]$/.test(board.pins[pin]?.name ?? ''));
      const [red, black] = [board.pins[high ?? -1]?.net, board.pins[low ?? -1]?.net];
      expect(red).not.toBe(black);
      const mates = board.parts.filter(({ bank }) => bank !== undefined && bank === part.bank);
      for (const mate of mates) {
        const at = (pin: string) => mate.pins.find((each) => board.pins[each]?.name === pin) ?? -1;
        // Pass transistors have an emitter resistor each; all others share both nets.
        if (mate.kind.name === 'npn') expect(board.pins[at('C')]?.net).toBe(red);
        else expect([board.pins[at(board.pins[low ?? -1]?.name ?? '')]?.net]).toEqual([black]);
      }
    }
  });

  test('is read clear in a drill with a shorted switch or capacitor, which is found', () => {
    const board = usual(stage);
    const mode = (kind: string): string =>
      ({ 'n-mosfet': 'D-S short', igbt: 'C-E short', npn: 'C-E short' })[kind] ?? 'short';
    const first = board.parts.find(({ kind }) => SWITCH.has(kind.name));
    const capacitor = board.parts.find(({ kind }) => kind.name === 'electrolytic');
    for (const part of [first, capacitor]) {
      if (part === undefined) continue;
      const { played, replaced } = play(board, [{ part: part.name, mode: mode(part.kind.name) }]);
      expect(played.clear, part.name).toBe(true);
      expect(replaced).toContain(part.name);
    }
  });

  test('marks what it only takes for usual as a guess', () => {
    const board = usual(stage);
    const guessed = board.parts.filter(({ guesses }) => guesses.length > 0);
    expect(guessed.length).toBeGreaterThan(board.parts.length / 3);
    for (const part of board.parts) {
      if (part.farads !== undefined) expect(part.guesses, part.name).toContain('usual value');
    }
  });
});

test('an answer is read back from the way it is printed', () => {
  const question = fc.constantFrom(...SKELETONS.flatMap((stage) => questionsOf(stage)));
  const both = question.chain((each) => fc.tuple(fc.constant(each), answers(each)));
  fc.assert(
    fc.property(both, ([each, answer]) => {
      expect(readAnswer(each, printAnswer(answer))).toEqual(answer);
    }),
  );
});

test('any text is an answer or a complaint that says what was asked for', () => {
  const question = fc.constantFrom(...SKELETONS.flatMap((stage) => questionsOf(stage)));
  fc.assert(
    fc.property(question, fc.string({ unit: 'binary' }), (each, text) => {
      const answer = readAnswer(each, text);
      if (isComplaint(answer)) expect(answer.message).toMatch(/is not /);
    }),
  );
});

test('settings that are wrong are named all at once, with the nearest known word', () => {
  const stage = skeletonNamed('half bridge');
  expect(() => readSettings(stage, ['paralel=2', 'volts=high', 'sense'])).toThrow(InputError);
  try {
    readSettings(stage, ['paralel=2', 'volts=high', 'sense']);
  } catch (error) {
    const found = (error as InputError).diagnostics.map(
      ({ message, hint }) => `${message} ${hint}`,
    );
    expect(found).toEqual([
      'a half bridge has no setting "paralel" parallel=…',
      'volts: "high" is not volts above 0 and up to 1000 undefined',
      '"sense" has no value sense=…',
    ]);
  }
});

test('a stage that is not there is refused with the nearest one', () => {
  expect(() => skeletonNamed('fly back')).toThrow(/no stage/);
  expect(() => skeletonNamed('halfbridge')).toThrow(/no stage/);
});
