import fc from 'fast-check';
import type { Board } from '../../src/board/model.ts';
import type {
  Injection,
  MeterMode,
  Point,
  Reading,
  ReadingValue,
} from '../../src/circuit/reading.ts';
import type { LookFinding } from '../../src/faults/evidence.ts';
import {
  type Say,
  type SayOfJob,
  SIGN_OFFS,
  SKIPPABLE,
  type TabValue,
  TICK_ITEMS,
} from '../../src/job/say.ts';
import { FINDINGS } from '../../src/job/scan.ts';
import type { StepTarget } from '../../src/steps/step-key.ts';

const amount = fc.oneof(
  fc.double({ min: 0, max: 1e9, noNaN: true }),
  fc.constantFrom(0, 0.4, 0.012, 0.52, 4700, 1e6, 5e-324, 1e300),
);

const OHMS = ['ohms', 'low-voltage', 'four-wire'] as const;
const DRIVEN = [...OHMS, 'diode'] as const;

const meterValue: fc.Arbitrary<{ mode: MeterMode; value: ReadingValue }> = fc.oneof(
  fc
    .constantFrom('beep' as const, 'quiet' as const, 'over' as const)
    .map((kind) => ({ mode: 'continuity' as const, value: { kind } })),
  fc.constantFrom(...DRIVEN).map((mode) => ({
    mode,
    value: { kind: 'over' as const },
  })),
  fc
    .record({ mode: fc.constantFrom(...OHMS), ohms: amount })
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

/** A current into the board. */
export function injections(board: Board): fc.Arbitrary<Injection> {
  const amps = fc.oneof(
    fc.double({ min: Number.MIN_VALUE, max: 10, noNaN: true }),
    fc.constantFrom(0.5, 0.02, 10),
  );
  return fc
    .tuple(point(board), point(board), amps)
    .filter(([red, black]) => red.net !== black.net || red.pin !== black.pin)
    .map(([red, black, current]) => ({ red, black, amps: current }));
}

/** Millivolts between two points, without the current they were read under. */
export function alongCopper(board: Board): fc.Arbitrary<Omit<Reading, 'injected'>> {
  return fc
    .tuple(point(board), point(board), signed)
    .filter(([red, black]) => red.net !== black.net || red.pin !== black.pin)
    .map(([red, black, volts]) => ({
      mode: 'millivolts',
      red,
      black,
      value: { kind: 'volts', volts },
    }));
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
    injections(board).map((injection): Say => ({ do: 'inject', ...injection })),
    fc.constant<Say>({ do: 'inject-off' }),
    fc
      .tuple(fc.constantFrom('undo' as const, 'redo' as const), fc.integer({ min: 1, max: 40 }))
      .map(([verb, count]): Say => ({ do: verb, count })),
    hands(board),
    text.map((said): Say => ({ do: 'note', text: said })),
    { weight: 5, arbitrary: saysOfJob(board, parts) },
  );
}

/** Steps passed over, and what probes cannot reach. */
function hands(board: Board): fc.Arbitrary<Say> {
  const parts = fc
    .shuffledSubarray([...board.parts], { minLength: 1, maxLength: 3 })
    .map((chosen) => chosen.map(({ index }) => index));
  const reason = text.filter((said) => !/^because\b/iu.test(said));
  const step: fc.Arbitrary<StepTarget> = fc.oneof(
    readings(board).map(({ red, black, offPart }): StepTarget => {
      const off = offPart === undefined ? {} : { offPart };
      return { kind: 'read', probe: { red, black, ...off } };
    }),
    fc
      .tuple(fc.constantFrom('remove' as const, 'refit' as const, 'replace' as const), parts)
      .map(([kind, chosen]): StepTarget => ({ kind, parts: chosen })),
    fc.constantFrom(...board.pins).map(
      (pin): StepTarget => ({
        kind: 'lift',
        part: pin.part,
        pins: [pin.index],
      }),
    ),
    fc
      .constantFrom(...board.pins)
      .map((pin): StepTarget => ({ kind: 'reflow', pins: [pin.index] })),
    fc.constantFrom(...board.parts).map((part): StepTarget => ({ kind: 'look', part: part.index })),
    fc
      .constantFrom(...board.pins)
      .map((pin): StepTarget => ({ kind: 'look', part: pin.part, pin: pin.index })),
    netPair(board).map((nets): StepTarget => ({ kind: 'inspect', nets })),
  );
  const at = fc.oneof(
    fc.constantFrom(...board.nets).map((net) => ({ net: net.index })),
    fc.constantFrom(...board.parts).map((part) => ({ part: part.index })),
    fc.constantFrom(...board.pins).map((pin) => ({ part: pin.part, pin: pin.index })),
  );
  return fc.oneof(
    fc.tuple(step, reason).map(([target, said]): Say => ({ do: 'pass', step: target, text: said })),
    fc
      .tuple(fc.constantFrom('unreachable' as const, 'reachable' as const), at, words)
      .map(([verb, where, said]): Say => ({ do: verb, ...where, ...said })),
  );
}

const text: fc.Arbitrary<string> = fc
  .string({ unit: 'grapheme', minLength: 1 })
  .map((said) => said.replace(/\s+/gu, ' ').trim())
  .filter((said) => said !== '');

const words = fc.option(
  text.map((said) => ({ text: said })),
  { nil: {} },
);

const signed = fc.oneof(
  amount,
  amount.filter((number) => number > 0).map((number) => -number),
);

const file = fc
  .oneof(
    fc.string({ unit: 'grapheme', minLength: 1 }),
    fc.constantFrom('arrived 1.jpg', 'in/a"b.png', '"', 'a\\b.jpg'),
  )
  .map((name) => name.replace(/\s/gu, ' '))
  .filter((name) => !/^\s*$|^[\\/]|^[a-z]:|^[a-z]+:\/\/|(?:^|[\\/])\.\.(?:$|[\\/])/iu.test(name));

const tab: fc.Arbitrary<TabValue> = fc.oneof(
  fc.constant({ kind: 'over' as const }),
  amount.map((ohms) => ({ kind: 'ohms' as const, ohms })),
);

/** Words after a photo's file that could be taken for a part would tie the photo to it. */
function photos(board: Board): fc.Arbitrary<SayOfJob> {
  const names = new Set(board.parts.map((part) => part.name.toLowerCase()));
  const isName = (said: string): boolean =>
    names.has((said.split(/\s|\./u)[0] ?? '').toLowerCase());
  const spot = fc.oneof(
    fc.constant({}),
    fc.constantFrom(...board.parts).map((part) => ({ part: part.index })),
    fc.constantFrom(...board.pins).map((pin) => ({ part: pin.part, pin: pin.index })),
  );
  return fc
    .tuple(file, spot, words)
    .filter(([, at, said]) => 'part' in at || !('text' in said && isName(said.text)))
    .map(([name, at, said]) => ({ do: 'photo', file: name, ...at, ...said }));
}

/** Where a part or a pad sits; tenths of a mm, as a ruler gives them. */
function places(board: Board): fc.Arbitrary<SayOfJob> {
  const mm = fc.integer({ min: -20_000, max: 20_000 }).map((tenths) => tenths / 10);
  const spot = fc.oneof(
    fc.constantFrom(...board.parts).map((part) => ({ part: part.index })),
    fc.constantFrom(...board.pins).map((pin) => ({ part: pin.part, pin: pin.index })),
  );
  const side = fc.constantFrom({}, { side: 'top' as const }, { side: 'bottom' as const });
  return fc
    .tuple(spot, mm, mm, side)
    .map(([where, x, y, said]): SayOfJob => ({ do: 'at', ...where, xy: [x, y], ...said }));
}

/** Anything that can be said of the job as a whole. */
function saysOfJob(board: Board, parts: fc.Arbitrary<readonly number[]>): fc.Arbitrary<SayOfJob> {
  const part = fc.constantFrom(...board.parts).map(({ index }) => index);
  const stage = fc.integer({ min: 1, max: 99 });
  const draws = board.rails.map((_, rail) =>
    signed.map((amps): SayOfJob => ({ do: 'draws', rail, amps })),
  );
  return fc.oneof(
    fc
      .tuple(fc.constantFrom('customer', 'arrived', 'marking', 'technician'), text)
      .map(([verb, said]): SayOfJob => ({ do: verb, text: said })),
    photos(board),
    fc
      .tuple(
        fc.constantFrom('residual' as const, 'powered' as const),
        point(board),
        point(board),
        signed,
      )
      .filter(([, red, black]) => red.net !== black.net)
      .map(([verb, red, black, volts]): SayOfJob => ({ do: verb, red, black, volts })),
    fc.tuple(part, tab).map(([at, value]): SayOfJob => ({ do: 'isolation', part: at, value })),
    fc
      .tuple(parts, fc.constantFrom(...TICK_ITEMS))
      .map(([chosen, item]): SayOfJob => ({ do: 'tick', parts: chosen, item })),
    ...draws,
    fc
      .tuple(stage, words)
      .map(([at, said]): SayOfJob => ({ do: 'power', stage: at, result: 'passed', ...said })),
    fc
      .tuple(stage, text)
      .map(([at, said]): SayOfJob => ({ do: 'power', stage: at, result: 'stopped', text: said })),
    fc
      .tuple(fc.constantFrom('passed' as const, 'failed' as const), text)
      .map(([result, said]): SayOfJob => ({ do: 'function', result, text: said })),
    fc
      .integer({ min: 1, max: 7 * 24 * 3600 })
      .map((seconds): SayOfJob => ({ do: 'soak', what: 'start', seconds })),
    fc
      .tuple(fc.constantFrom('finding' as const, 'stopped' as const), text)
      .map(([what, said]): SayOfJob => ({ do: 'soak', what, text: said })),
    words.map((said): SayOfJob => ({ do: 'soak', what: 'passed', ...said })),
    fc.tuple(part, signed).map(([at, celsius]): SayOfJob => ({ do: 'temp', part: at, celsius })),
    places(board),
    fc
      .tuple(fc.constantFrom(...SKIPPABLE), text)
      .map(([at, said]): SayOfJob => ({ do: 'skip', stage: at, text: said })),
    fc
      .string({ unit: fc.constantFrom(...'0123456789abcdef'), minLength: 64, maxLength: 64 })
      .map((digest): SayOfJob => ({ do: 'written', digest })),
    fc
      .tuple(fc.constantFrom(...SIGN_OFFS), words)
      .map(([result, said]): SayOfJob => ({ do: 'sign-off', result, ...said })),
  );
}
