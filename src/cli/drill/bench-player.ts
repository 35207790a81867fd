import type { SimulatedBench } from '../../bench/simulated-bench.ts';
import type { Board } from '../../board/model.ts';
import { LINE_WORDS } from '../../board/names.ts';
import type { Probe } from '../../circuit/reading.ts';
import { type BoardState, netPairKey } from '../../circuit/state.ts';
import { parseSayUnder } from '../../job/notation.ts';
import { printReading } from '../../job/print-say.ts';
import { viewStep } from '../../report/step-view.ts';
import type { Step } from '../../steps/step.ts';
import { drillKeys, drillTaskKeys } from '../guided/keys.ts';
import type { BenchNow, Player } from '../guided/player.ts';

/** A simulated board with hidden faults answers every probe and every look. */
export function benchPlayer(board: Board, bench: SimulatedBench): Player {
  return {
    keys: drillKeys,
    taskKeys: drillTaskKeys,
    linesFor: (text, _step, now) => [probeLine(board, bench, text, now) ?? text],
    act: (step, state) => actOn(board, bench, step, state),
  };
}

/** `P48 GND`, `off Q3: D S`, `A B ohms`: points without a value, which the simulated board answers. */
function probeLine(
  board: Board,
  bench: SimulatedBench,
  text: string,
  now: BenchNow,
): string | undefined {
  const probe = probeIn(board, text, now);
  return probe && readLine(board, bench, probe, now.state);
}

/** Values tried behind the points typed, the mode named last first. */
const STAND_INS: readonly (readonly [RegExp, string])[] = [
  [/\s+(four-wire|4-wire|mohm)$/i, '1 mohm'],
  [/\s+(ohms?)$/i, '1 ohm'],
  [/\s+(diode|V)$/i, '1 V'],
  [/(\s+(continuity|beeper))?$/i, 'beep'],
];

/** What is left to be read of the pads while a current is on. */
const ALONG_COPPER: readonly [RegExp, string] = [/(\s+(millivolts|[mu]V))?$/i, '1 mV'];

function probeIn(board: Board, text: string, now: BenchNow): Probe | undefined {
  const isOnLegs = /^off\s/i.test(text);
  const standIns = now.injection === undefined || isOnLegs ? STAND_INS : [ALONG_COPPER];
  const [pattern, value] = standIns.find(([each]) => each.test(text)) ?? [/$/, 'beep'];
  const points = text.replace(pattern, '');
  const words = points.replace(/^off\s+\S+\s*/i, '').split(/\s+/);
  if (words.length !== 2 || isVerb(board, points)) return undefined;
  const say = parseSayUnder(board, `${points} ${value}`, now);
  if (say.do !== 'read') return undefined;
  const { value: _value, ...probe } = say.reading;
  return probe;
}

/** Two words that are a line of their own: `lift W3`, `undo 2`, `soak passed`. */
function isVerb(board: Board, text: string): boolean {
  const [head = ''] = text.split(/\s/);
  const word = head.toLowerCase();
  return word !== 'off' && LINE_WORDS.includes(word) && !board.netNamed.has(head);
}

function actOn(board: Board, bench: SimulatedBench, step: Step, state: BoardState): string[] {
  const { say = '' } = viewStep(board, step);
  switch (step.kind) {
    case 'read':
      return [readLine(board, bench, step.probe, state)];
    case 'look':
      // No drill hides an open joint, so every joint looks sound.
      return [`${say} ${step.pin === undefined ? bench.look(step.part, state) : 'looks sound'}`];
    case 'inspect':
      return [inspect(bench, say.replace(/^look /, ''), step.nets, state)];
    case 'done':
      return [];
    default:
      return [say];
  }
}

function readLine(board: Board, bench: SimulatedBench, probe: Probe, state: BoardState): string {
  return printReading(board, { ...probe, value: bench.answer(probe, state) });
}

function inspect(
  bench: SimulatedBench,
  names: string,
  nets: readonly [number, number],
  state: BoardState,
): string {
  const key = netPairKey(...nets);
  const there = bench.hidden.find((fault) => fault.nets && netPairKey(...fault.nets) === key);
  if (there?.what === 'bridge' && !state.cleaned.has(key)) return `clean ${names}`;
  if (there?.what === 'link') return `link ${names}`;
  return `look ${names} looks sound`;
}
