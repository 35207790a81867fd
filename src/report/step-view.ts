import type { Board, Part } from '../board/model.ts';
import { harmless } from '../board/shown-text.ts';
import type { Probe } from '../circuit/reading.ts';
import type { Settling } from '../circuit/settling.ts';
import { printPin, printPoint } from '../job/points.ts';
import { printProbe, printSay } from '../job/print-say.ts';
import type { Step } from '../steps/step.ts';
import { type HoldView, viewHold } from './hold.ts';
import {
  legOrPoint,
  MODE_WORDS,
  netName,
  partName,
  partNames,
  pinName,
  probeText,
} from './names.ts';
import { counted, listOf, runsOf } from './words.ts';

/** A step with its board numbers turned into names: what is shown, and what `--json` prints. */
export interface StepView {
  readonly kind: Step['kind'];
  /** The step in one sentence. */
  readonly text: string;
  /** The line to record once it is done; for a reading, the line up to its value. */
  readonly say?: string;
  readonly probe?: ProbeView;
  readonly parts?: readonly string[];
  readonly pins?: readonly string[];
  readonly nets?: readonly string[];
  /** Where to find what the step is about: probe points, places on the board. */
  readonly where: readonly string[];
  /** How long to hold the probes, where capacitors make it matter. */
  readonly hold?: HoldView;
}

export interface ProbeView {
  readonly mode: Probe['mode'];
  readonly red: string;
  readonly black: string;
  /** The part, when it is read off the board on its own legs. */
  readonly off?: string;
}

/** @param settling what capacitors do to the step's reading, where that is known */
export function viewStep(board: Board, step: Step, settling?: Settling): StepView {
  const view = viewBare(board, step);
  const probe = step.kind === 'read' ? step.probe : 'then' in step ? step.then : undefined;
  const hold = probe === undefined ? undefined : viewHold(board, probe.mode, settling);
  return hold === undefined ? view : { ...view, hold };
}

function viewBare(board: Board, step: Step): StepView {
  switch (step.kind) {
    case 'read':
      return viewRead(board, step.probe);
    case 'lift':
      return viewLift(board, step);
    case 'remove': {
      const then = step.then === undefined ? '' : `, then probe ${probeText(board, step.then)}`;
      return viewParts(
        board,
        step.kind,
        step.parts,
        `Take off ${partsText(board, step.parts)}${then}.`,
      );
    }
    case 'refit': {
      const text = `Put back ${partsText(board, step.parts)}.`;
      return viewParts(board, step.kind, step.parts, text);
    }
    case 'replace':
      return viewParts(board, step.kind, step.parts, `Fit new ${partsText(board, step.parts)}.`);
    case 'reflow': {
      const pins = step.pins.map((pin) => pinName(board, pin));
      const text = `Heat ${listOf(pins)} again with fresh solder.`;
      const say = printSay(board, { do: 'reflow', pins: step.pins });
      return { kind: 'reflow', text, say, pins, where: [] };
    }
    case 'look':
      return viewLook(board, step);
    case 'inspect':
      return viewInspect(board, step.nets);
    case 'done':
      return { kind: 'done', text: 'Nothing is left to measure.', where: [] };
  }
}

export function viewProbe(board: Board, probe: Probe): ProbeView {
  const red = legOrPoint(board, probe, probe.red);
  const black = legOrPoint(board, probe, probe.black);
  const plain = { mode: probe.mode, red, black };
  return probe.offPart === undefined ? plain : { ...plain, off: partName(board, probe.offPart) };
}

function viewRead(board: Board, probe: Probe): StepView {
  const view = viewProbe(board, probe);
  const off = view.off === undefined ? '' : `${view.off} off the board, on its own legs: `;
  const text = `${off}Probe ${view.red} (red) and ${view.black} (black), ${MODE_WORDS[probe.mode]}.`;
  const nets = [probe.red, probe.black].filter((point) => point.pin === undefined);
  const where = nets.flatMap((point) => probePlaces(board, point.net));
  return { kind: 'read', text, say: printProbe(board, probe), probe: view, where };
}

function probePlaces(board: Board, net: number): string[] {
  const points = board.nets[net]?.points ?? [];
  if (points.length === 0) return [];
  return [`${netName(board, net)} is at ${listOf(points.map(harmless), 4)}`];
}

function viewLift(board: Board, step: Extract<Step, { kind: 'lift' }>): StepView {
  const part = board.parts[step.part];
  const pins = step.pins.map((pin) => pinName(board, pin));
  const name = partName(board, step.part);
  const link = part?.kind.link === true ? 'jumper ' : '';
  const say = printSay(board, { do: 'lift', part: step.part, pins: step.pins });
  // The notation names the part alone when its usual leg is meant.
  const what = say.includes('.') ? listOf(pins) : `one leg of ${link}${name}`;
  const text = `Lift ${what}, then probe ${probeText(board, step.then)}.`;
  const where = part === undefined ? [] : placeOf(part);
  return { kind: 'lift', text, say, parts: [name], pins, where };
}

function viewParts(
  board: Board,
  kind: 'remove' | 'refit' | 'replace',
  parts: readonly number[],
  text: string,
): StepView {
  const names = partNames(board, parts);
  const found = parts.flatMap((part) => board.parts[part] ?? []);
  const where = found.slice(0, 4).flatMap((part) => placeOf(part));
  return { kind, text, say: printSay(board, { do: kind, parts }), parts: names, where };
}

function viewLook(board: Board, step: Extract<Step, { kind: 'look' }>): StepView {
  const name = step.pin === undefined ? partName(board, step.part) : pinName(board, step.pin);
  const part = board.parts[step.part];
  const text =
    step.pin === undefined
      ? `Look at ${name}: burnt, cracked, leaking, reworked, a leg off its pad?`
      : `Look at the joint of ${name}, magnified: does the leg touch its pad?`;
  const where = part === undefined ? [] : placeOf(part);
  const say = `look ${step.pin === undefined ? part?.name : printPin(board, step.pin)}`;
  return { kind: 'look', text, say, parts: [partName(board, step.part)], where };
}

function viewInspect(board: Board, pair: readonly [number, number]): StepView {
  const nets = pair.map((net) => netName(board, net));
  const text = `Look between ${nets.join(' and ')} for a solder bridge, dirt, or a link the board file lacks.`;
  const say = `look ${pair.map((net) => printPoint(board, { net })).join(' ')}`;
  return { kind: 'inspect', text, say, nets, where: [] };
}

/** `Q1, Q2 and Q3 (bank upper U)`. */
function partsText(board: Board, parts: readonly number[]): string {
  const banks = new Set(parts.map((part) => board.parts[part]?.bank));
  const [bank] = banks;
  const whole = banks.size === 1 && bank !== undefined && parts.length > 1;
  const names = partNames(board, parts);
  const text =
    names.length > 8 ? `${counted(names.length, 'part')}: ${runsOf(names)}` : runsOf(names);
  return whole ? `${text} (bank ${harmless(bank)})` : text;
}

/** `Q3 is at x 41, y 12.5 mm, top side, on heatsink HS1`. */
function placeOf(part: Part): string[] {
  const facts: string[] = [];
  if (part.at !== undefined) facts.push(`at x ${part.at[0]}, y ${part.at[1]} mm`);
  if (part.side !== undefined) facts.push(`${part.side} side`);
  if (part.heatsink !== undefined) facts.push(`on ${heatsinkText(part.heatsink)}`);
  return facts.length === 0 ? [] : [`${harmless(part.name)} is ${facts.join(', ')}`];
}

function heatsinkText(name: string): string {
  return name === 'heatsink' ? 'the heatsink' : `heatsink ${harmless(name)}`;
}
