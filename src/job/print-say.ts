/** The notation written out: one canonical line for each thing that can be said. */
import type { Board } from '../board/model.ts';
import type { Probe, Reading } from '../circuit/reading.ts';
import type { StepTarget } from '../steps/step-key.ts';
import { printScaled } from './decimal.ts';
import { printGrowth } from './growth/print.ts';
import { partName, printPin, printPoint } from './points.ts';
import { printOfJob } from './print-job.ts';
import type { Reached, Say } from './say.ts';
import { printValue } from './value.ts';

/** Gives the line that {@link parseSay} reads back as `say`. */
export function printSay(board: Board, say: Say): string {
  switch (say.do) {
    case 'read':
      return printReading(board, say.reading);
    case 'lift':
      return `lift ${printLift(board, say.part, say.pins)}`;
    case 'remove':
    case 'refit':
    case 'replace':
      return `${say.do} ${say.parts.map((part) => partName(board, part)).join(' ')}`;
    case 'reflow':
      return `reflow ${printLegs(board, say.pins)}`;
    case 'clean':
    case 'link':
      return `${say.do} ${say.nets.map((net) => netName(board, net)).join(' ')}`;
    case 'mend':
      return `mend ${netName(board, say.net)}`;
    case 'look':
      return `look ${printLook(board, say)} ${say.finding}`;
    case 'inject':
      return `inject ${printPoint(board, say.red)} ${printPoint(board, say.black)} ${printScaled(say.amps, 0)} A`;
    case 'inject-off':
      return 'inject off';
    case 'undo':
    case 'redo':
      return say.count === 1 ? say.do : `${say.do} ${say.count}`;
    case 'pass':
      return `pass ${printTarget(board, say.step)} because ${say.text}`;
    case 'unreachable':
    case 'reachable':
      return `${say.do} ${printReached(board, say)}${say.text === undefined ? '' : ` ${say.text}`}`;
    case 'note':
      return `note ${say.text}`;
    case 'joins':
    case 'goes':
    case 'is':
      return printGrowth(say);
    default:
      return printOfJob(board, say);
  }
}

/** A step in the words of the line that records it, without value or finding. */
export function printTarget(board: Board, step: StepTarget): string {
  switch (step.kind) {
    case 'read':
      return printProbe(board, step.probe);
    case 'lift':
      return `lift ${printLift(board, step.part, step.pins)}`;
    case 'remove':
    case 'refit':
    case 'replace':
      return `${step.kind} ${step.parts.map((part) => partName(board, part)).join(' ')}`;
    case 'reflow':
      return `reflow ${printLegs(board, step.pins)}`;
    case 'look':
      return `look ${step.pin === undefined ? partName(board, step.part) : printPin(board, step.pin)}`;
    case 'inspect':
      return `look ${step.nets.map((net) => netName(board, net)).join(' ')}`;
  }
}

function printReached(board: Board, at: Reached): string {
  if (at.net !== undefined) return netName(board, at.net);
  return at.pin === undefined ? partName(board, at.part) : printPin(board, at.pin);
}

/** `P48 GND`, `off Q3: D S`: where the probes go, in the words of the notation. */
export function printProbe(board: Board, probe: Pick<Probe, 'red' | 'black' | 'offPart'>): string {
  const { red, black, offPart } = probe;
  if (offPart === undefined) return `${printPoint(board, red)} ${printPoint(board, black)}`;
  const legs = [red, black].map((point) => board.pins[point.pin ?? -1]?.name ?? '?');
  return `off ${partName(board, offPart)}: ${legs.join(' ')}`;
}

/** A reading as one line: `P48 GND beep`. */
export function printReading(board: Board, reading: Reading): string {
  return `${printProbe(board, reading)} ${printValue(reading)}`;
}

function printLift(board: Board, part: number, pins: readonly number[]): string {
  const own = board.parts[part]?.pins ?? [];
  const isUsualLeg = own.length <= 2 && pins.length === 1 && pins[0] === own.at(-1);
  if (isUsualLeg) return partName(board, part);
  return pins.map((pin) => printPin(board, pin)).join(' ');
}

/** A part whose legs are all listed, in its own order, goes by its name. */
function printLegs(board: Board, pins: readonly number[]): string {
  const words: string[] = [];
  for (let at = 0; at < pins.length; ) {
    const pin = pins[at] ?? -1;
    const part = board.parts[board.pins[pin]?.part ?? -1];
    const own = part?.pins ?? [];
    const isWhole = own.length > 0 && own.every((leg, offset) => pins[at + offset] === leg);
    words.push(isWhole ? (part?.name ?? '?') : printPin(board, pin));
    at += isWhole ? own.length : 1;
  }
  return words.join(' ');
}

function printLook(board: Board, say: Extract<Say, { do: 'look' }>): string {
  if (say.nets !== undefined) return say.nets.map((net) => netName(board, net)).join(' ');
  if (say.pin !== undefined) return printPin(board, say.pin);
  return partName(board, say.part ?? -1);
}

function netName(board: Board, net: number): string {
  return board.nets[net]?.name ?? `?${net}`;
}
