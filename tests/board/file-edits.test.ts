import { execFileSync } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { writeInto } from '../../src/board/file-edits.ts';
import { contradiction, grownBoard, takes } from '../../src/board/grown-board.ts';
import { type Growth, VALUE_KEYS } from '../../src/board/growth.ts';
import { loadBoard } from '../../src/board/load.ts';
import type { Board } from '../../src/board/model.ts';
import { unifiedDiff } from '../../src/board/text-diff.ts';

/** Entries in every form that a board file may have them in, with comments in all places. */
const FORMS = `# A lamp driver.
board: Workbench lamp driver # the small one
rails:
  supply: {plus: P24, minus: GND, volts: 24}   # from the connector
parts:
  # in
  J1: {kind: connector, pins: {1: P24, 2: GND}}
  C1: {kind: electrolytic,  farads: 470u, volts: 35, pins: {plus: P24, minus: GND}, at: [10, 12]} # big
  C2: {kind: ceramic, farads: 1u, pins: [P24, GND], guess: [usual value], side: top}

  Q1:
    kind: n-mosfet # by its marking
    # which way round was seen
    pins:
      G: GATE # thin trace
      D: LAMP
      S: GND
    heatsink: true # the lid
    guess: [usual rating] # nobody read it
  Q2:
    kind: n-mosfet
    pins: {G: GATE, D: LAMP, S: GND}
  U1: {kind: ic, pins: {VCC: P24, GND: GND, OUT: "GATE"}}
  R1: {pins: ['LAMP', 'GATE'], kind: resistor, ohms: 10k}
  # between parts and jumpers
jumpers:
  W1: [P24, LAMP] # red wire
  W2: {nets: [P24, GATE], package: 0.6 mm}
nets: {GND: {points: [J1.2]}}
`;

const files: [string, string][] = [
  ['every form', FORMS],
  ['every form with carriage returns', FORMS.replaceAll('\n', '\r\n')],
  ['no jumpers, no last line break', FORMS.split('jumpers:')[0]?.trimEnd() ?? ''],
  [
    'flow',
    'board: b\nparts: {C1: {kind: ceramic, pins: [P24, GND]}, R1: {kind: resistor, ohms: 1, pins: [P24, X]}, C3: {kind: ceramic, pins: [X, GND]}}\n',
  ],
  ...readdirSync('boards').map((file): [string, string] => [
    file,
    readFileSync(`boards/${file}`, 'utf8'),
  ]),
];

const NEW_NETS = ['CLAMP', 'NEW_1', '3V3#x', 'yes', '12'];

/** Statements that a board takes: of parts it has, of new ones, of nets it has and new ones. */
function growthsOn(board: Board): fc.Arbitrary<Growth> {
  const instead = fc.constant(true);
  const net = fc.constantFrom(...board.nets.map(({ name }) => name), ...NEW_NETS);
  const pins = board.pins.map(({ part, name }) => `${board.parts[part]?.name}.${name}`);
  const unseen = fc.constantFrom('UNSEEN_D77_A', 'UNSEEN_D77_K');
  const end = fc.oneof(net, net, unseen).map((each) => ({ net: each, isNew: true }));
  const fresh = ['D77', 'C88', 'U99', 'W55'];
  const pin = fc.constantFrom(...pins, 'D77.A', 'D77.K', 'C88.1', 'U99.VCC', 'U99.7');
  const part = fc.constantFrom(...board.parts.map(({ name }) => name));
  const links = board.parts.filter(({ kind }) => kind.link).map(({ name }) => name);
  const value = fc.constantFrom(1e-6, 470e-6, 2.2e-9, 0.015);
  return fc.oneof(
    fc.record({
      do: fc.constant('joins' as const),
      part: fc.constantFrom(...links, 'W55', 'W56'),
      ends: fc.tuple(end, end).filter(([a, b]) => a.net !== b.net),
      instead,
    }),
    fc
      .record({ do: fc.constant('goes' as const), pin, to: end, instead })
      .map(({ pin: at, ...rest }) => {
        const dot = at.indexOf('.');
        return { ...rest, part: at.slice(0, dot), pin: at.slice(dot + 1) };
      }),
    fc
      .tuple(fc.constantFrom(...fresh), fc.constantFrom('diode', 'ceramic', 'unknown', 'n-mosfet'))
      .map(([name, kind]) => ({ do: 'is' as const, part: name, kind, instead: true })),
    fc.tuple(part, value, fc.boolean()).map(([name, amount, isRated]) => {
      const kind = board.partNamed.get(name)?.kind;
      const own = kind?.value === 'none' || kind === undefined ? {} : { [kind.value]: amount };
      return {
        do: 'is' as const,
        part: name,
        ...own,
        ...(isRated ? { volts: 63 } : {}),
        instead: true,
      };
    }),
    fc
      .tuple(
        fc.constantFrom(
          ...board.parts.filter(({ pins: own }) => own.length === 2).map(({ name }) => name),
        ),
        fc.constantFrom('varistor', 'film', 'zener'),
      )
      .filter(([name]) => board.partNamed.get(name)?.kind.link === false)
      .map(([name, kind]) => ({ do: 'is' as const, part: name, kind, instead: true })),
  );
}

/** What a job takes: a statement of a pin only once the board has it, or a part that names its own pins. */
function sayable(board: Board, said: readonly Growth[]): Growth[] {
  const kept: Growth[] = [];
  for (const growth of said) {
    const seen = grownBoard(board, kept);
    const part = seen.partNamed.get(growth.part);
    const isOwn = part?.pins.some(
      (pin) => seen.pins[pin]?.name === (growth as { pin?: string }).pin,
    );
    const isFree = part?.kind.pins.length === 0;
    const isFit =
      growth.do !== 'is' ||
      growth.kind !== undefined ||
      VALUE_KEYS.every((key) => growth[key] === undefined || (part && takes(part.kind, key)));
    if (isFit && (growth.do !== 'goes' || isOwn === true || isFree === true)) kept.push(growth);
  }
  return kept;
}

const told = (board: Board): string[] =>
  board.parts
    .map((part) => {
      const pins = part.pins.map(
        (pin) => `${board.pins[pin]?.name}=${board.nets[board.pins[pin]?.net ?? -1]?.name}`,
      );
      return `${part.name} ${part.kind.name} ${part.ohms} ${part.farads} ${part.volts} ${pins} ${part.guesses}`;
    })
    .sort();

describe.each(files)('a board file: %s', (_, text) => {
  const { board } = loadBoard(text, 'board.yaml');
  const growths = fc.array(growthsOn(board), { maxLength: 6 }).map((said) => sayable(board, said));

  /** Places of a net that its entry in the file names may move away from it: such a file is refused. */
  const written = (said: readonly Growth[]): string | undefined => {
    try {
      return writeInto(text, board, grownBoard(board, said));
    } catch (error) {
      expect((error as Error).name).toBe('InputError');
      return undefined;
    }
  };

  test('holds what was seen once it is written, and nothing else new', () => {
    fc.assert(
      fc.property(growths, (said) => {
        const after = grownBoard(board, said);
        const fresh = written(said);
        if (fresh !== undefined)
          expect(told(loadBoard(fresh, 'board.yaml').board)).toEqual(told(after));
      }),
      { numRuns: 60 },
    );
  });

  test('takes the same statements again without a change', () => {
    fc.assert(
      fc.property(growths, (said) => {
        const fresh = written(said);
        if (fresh === undefined) return;
        const { board: now } = loadBoard(fresh, 'board.yaml');
        expect(writeInto(fresh, now, grownBoard(now, said))).toBe(fresh);
      }),
      { numRuns: 40 },
    );
  });

  test('keeps every comment and the order of all lines that stay', () => {
    fc.assert(
      fc.property(growths, (said) => {
        const fresh = written(said);
        if (fresh === undefined) return;
        const comments = (of: string): string[] => of.match(/# .*/g) ?? [];
        const kept = comments(fresh);
        // The one comment on a line that goes goes with it.
        const due = comments(text).filter(
          (each) => kept.includes(each) || !/nobody read it/.test(each),
        );
        expect(kept).toEqual(due);
        let at = 0;
        const lines = fresh.split('\n');
        for (const line of lines) {
          const next = text.split('\n').indexOf(line, at);
          if (next >= 0) at = next + 1;
        }
        expect(text.split('\n').filter((line) => !lines.includes(line)).length).toBeLessThanOrEqual(
          said.length * 6,
        );
      }),
      { numRuns: 40 },
    );
  });

  test('is changed by its diff just so', () => {
    const folder = mkdtempSync(join(tmpdir(), 'patch-'));
    try {
      for (const said of fc.sample(growths, 6)) {
        const fresh = written(said);
        if (fresh === undefined) continue;
        writeFileSync(join(folder, 'board.yaml'), text);
        const diff = unifiedDiff(text, fresh, 'board.yaml');
        if (diff === '') {
          expect(fresh).toBe(text);
          continue;
        }
        writeFileSync(join(folder, 'd.patch'), diff);
        execFileSync('git', ['apply', '-p0', '--whitespace=nowarn', 'd.patch'], { cwd: folder });
        expect(readFileSync(join(folder, 'board.yaml'), 'utf8')).toBe(fresh);
      }
    } finally {
      rmSync(folder, { recursive: true, force: true });
    }
  });
});

describe('a board with what was seen put in', () => {
  const { board } = loadBoard(FORMS, 'board.yaml');

  test('keeps the numbers of all that its file has, and every pin on the net that lists it', () => {
    fc.assert(
      fc.property(fc.array(growthsOn(board), { maxLength: 10 }), (any) => {
        const said = sayable(board, any);
        const grown = grownBoard(board, said);
        for (const part of board.parts) expect(grown.parts[part.index]?.name).toBe(part.name);
        for (const net of board.nets) expect(grown.nets[net.index]?.name).toBe(net.name);
        expect(grown.parts.map(({ index }) => index)).toEqual([...grown.parts.keys()]);
        for (const part of grown.parts) {
          for (const pin of part.pins) expect(grown.pins[pin]?.part).toBe(part.index);
        }
        for (const net of grown.nets) {
          for (const pin of net.pins) expect(grown.pins[pin]?.net).toBe(net.index);
        }
        expect(grown.nets.reduce((sum, { pins }) => sum + pins.length, 0)).toBe(grown.pins.length);
        expect(grownBoard(grown, said.slice(-1))).toBe(grown);
      }),
    );
  });

  test('has no contradiction with what it was told last', () => {
    fc.assert(
      fc.property(fc.array(growthsOn(board), { minLength: 1, maxLength: 6 }), (any) => {
        const said = sayable(board, any);
        const last = said.at(-1);
        const grown = grownBoard(board, said);
        if (last !== undefined)
          expect(contradiction(grown, { ...last, instead: false })).toBeUndefined();
      }),
    );
  });
});
