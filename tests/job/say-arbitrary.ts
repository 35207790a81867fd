import fc from 'fast-check';
import type { Board } from '../../src/board/model.ts';
import type { MeterMode, Point, Reading, ReadingValue } from '../../src/circuit/reading.ts';
import type { LookFinding } from '../../src/faults/evidence.ts';
import type { Say } from '../../src/job/say.ts';
import { FINDINGS } from '../../src/job/scan.ts';

const amount = fc.oneof(
  fc.double({ min: 0, max: 1e9, noNaN: true }),
  fc.constantFrom(0, 0.4, 0.012, 0.52, 4700, 1e6, 5e-324, 1e300),
);

const meterValue: fc.Arbitrary<{ mode: MeterMode; value: ReadingValue }> = fc.oneof(
  fc
    .constantFrom('beep' as const, 'quiet' as const, 'over' as const)
    .map((kind) => ({ mode: 'continuity' as const, value: { kind } })),
  fc.constantFrom('ohms' as const, 'four-wire' as const, 'diode' as const).map((mode) => ({
    mode,
    value: { kind: 'over' as const },
  })),
  fc
    .record({ mode: fc.constantFrom('ohms' as const, 'four-wire' as const), ohms: amount })
    .map(({ mode, ohms }) => ({ mode, value: { kind: 'ohms' as const, ohms } })),
  amount.map((volts) => ({ mode: 'diode' as const, value: { kind: 'volts' as const, volts } })),
);

function point(board: Board): fc.Arbitrary<Point> {
  const pins = board.pins.map((pin) => ({ net: pin.net, pin: pin.index }));
  return fc.constantFrom(...board.nets.map((net): Point => ({ net: net.index })), ...pins);
}

function readings(board: Board): fc.Arbitrary<Reading> {
  const onBoard = fc
    .tuple(point(board), point(board))
    .filter(([red, black]) => red.net !== black.net || red.pin !== black.pin)
    .map(([red, black]) => ({ red, black }));
  const offBoard = fc
    .constantFrom(...board.parts.filter((part) => part.pins.length >= 2))
    .chain((part) =>
      fc.tuple(
        fc.constant(part),
        fc.shuffledSubarray([...part.pins], { minLength: 2, maxLength: 2 }),
      ),
    )
    .map(([part, legs]) => {
      const [red = 0, black = 0] = legs;
      const at = (pin: number): Point => ({ net: board.pins[pin]?.net ?? 0, pin });
      return { red: at(red), black: at(black), offPart: part.index };
    });
  return fc
    .tuple(fc.oneof(onBoard, offBoard), meterValue)
    .map(([probe, meter]) => ({ ...probe, ...meter }));
}

function looks(board: Board): fc.Arbitrary<Say> {
  const partFindings = FINDINGS.filter((finding) => finding !== 'off its pad');
  const pinFindings: LookFinding[] = [
    'burnt',
    'cracked',
    'reworked',
    'dirty',
    'off its pad',
    'looks sound',
  ];
  return fc.oneof(
    fc
      .tuple(fc.constantFrom(...board.parts), fc.constantFrom(...partFindings))
      .map(([part, finding]): Say => ({ do: 'look', part: part.index, finding })),
    fc
      .tuple(fc.constantFrom(...board.pins), fc.constantFrom(...pinFindings))
      .map(([pin, finding]): Say => ({ do: 'look', part: pin.part, pin: pin.index, finding })),
    netPair(board).map((nets): Say => ({ do: 'look', nets, finding: 'looks sound' })),
  );
}

function netPair(board: Board): fc.Arbitrary<readonly [number, number]> {
  const nets = board.nets.map((net) => net.index);
  return fc
    .shuffledSubarray(nets, { minLength: 2, maxLength: 2 })
    .map(([a = 0, b = 0]): readonly [number, number] => [a, b]);
}

/** Anything that can be said of the board, in any order, true or not. */
export function says(board: Board): fc.Arbitrary<Say> {
  const parts = fc.shuffledSubarray(
    board.parts.map((part) => part.index),
    { minLength: 1, maxLength: 3 },
  );
  const pins = fc.shuffledSubarray(
    board.pins.map((pin) => pin.index),
    { minLength: 1, maxLength: 5 },
  );
  const lifts = fc
    .constantFrom(...board.parts)
    .chain((part) =>
      fc
        .shuffledSubarray([...part.pins], { minLength: 1 })
        .map((legs): Say => ({ do: 'lift', part: part.index, pins: legs })),
    );
  return fc.oneof(
    { weight: 4, arbitrary: readings(board).map((reading): Say => ({ do: 'read', reading })) },
    lifts,
    fc
      .tuple(fc.constantFrom('remove' as const, 'refit' as const, 'replace' as const), parts)
      .map(([verb, chosen]): Say => ({ do: verb, parts: chosen })),
    pins.map((legs): Say => ({ do: 'reflow', pins: legs })),
    fc
      .tuple(fc.constantFrom('clean' as const, 'link' as const), netPair(board))
      .map(([verb, nets]): Say => ({ do: verb, nets })),
    fc.constantFrom(...board.nets).map((net): Say => ({ do: 'mend', net: net.index })),
    looks(board),
    fc.integer({ min: 1, max: 40 }).map((count): Say => ({ do: 'undo', count })),
    fc
      .string({ unit: 'grapheme', minLength: 1 })
      .map((text) => text.replace(/\s+/gu, ' ').trim())
      .filter((text) => text !== '')
      .map((text): Say => ({ do: 'note', text })),
  );
}
