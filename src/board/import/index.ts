import type { Diagnostic } from '../diagnostic.ts';
import { readBom } from './bom.ts';
import { type CleanNames, cleanNames } from './clean-names.ts';
import { roundMm } from './collect-pins.ts';
import { guessKind } from './guess-kind.ts';
import {
  type LeftOut,
  leftOutWarnings,
  lonePinWarnings,
  nothingFound,
  nothingJoined,
  renameWarnings,
  tooLarge,
} from './import-warnings.ts';
import type { ImportedPart } from './imported.ts';
import { type JoinedPart, joinBom, naturalOrder } from './join-bom.ts';
import type { Netlist } from './netlist.ts';
import { NetlistIntake } from './netlist-intake.ts';
import { connectedPins } from './pads.ts';
import { proposeRails } from './rails.ts';
import type { IncludeOpener } from './spice/deck.ts';
import { type Pieces, readLines } from './text-lines.ts';
import { readValueText } from './value-text.ts';
import { writeBoardYaml } from './write.ts';

/** A text, whole or in pieces, and the name of the file it came from, for messages. */
export interface ImportSource {
  readonly text: Pieces;
  readonly file: string;
}

/** What a board is made from. */
export interface ImportInput {
  readonly netlist: ImportSource;
  readonly bom?: ImportSource;
  /** Opens what a SPICE deck includes; without it nothing is. */
  readonly open?: IncludeOpener;
}

export interface ImportSummary {
  readonly parts: number;
  readonly nets: number;
  readonly rails: number;
  /** Parts whose kind, pins and value the files told without a guess. */
  readonly told: number;
  /** Parts with something to confirm, listed under their `guess`. */
  readonly guessed: number;
  /** Parts of kind `unknown`. */
  readonly unknown: number;
  /** Parts without a pin that touches another part, and parts the bill says are not fitted. */
  readonly leftOut: number;
}

export interface Imported {
  /** A board file. */
  readonly yaml: string;
  readonly warnings: readonly Diagnostic[];
  readonly summary: ImportSummary;
}

/**
 * Makes a board file from a netlist and, if there is one, a bill of materials. The netlist is an
 * IPC-D-356 or 356A file, a SPICE deck or a list of pins; its first lines tell which.
 * @throws {InputError} when the netlist is in none of these forms, holds no part, or has lines that
 * cannot be made sense of; when the bill names no parts
 */
export function importBoard(input: ImportInput): Imported {
  const { file, text } = input.netlist;
  const netlist = readLines(text, file, new NetlistIntake(file, input.open));
  const bom = input.bom && readBom(input.bom.text, input.bom.file);
  const joined = joinBom(netlist, bom);
  const guessed = guessParts(joined.parts);
  const lone = guessed.parts.length === 0;
  // A netlist that joins nothing still names parts and pads; better those than no board at all.
  const { parts, leftOut } = lone ? guessParts(joined.parts.map(keepLonePins), 2) : guessed;
  if (parts.length === 0) throw nothingFound(netlist);
  const rails = proposeRails(parts, netlist.feeds);
  const names = cleanNames(parts);
  const summary = summarize(parts, rails.length, names, leftOut.length);
  const remarks = remarksOf(input, summary);
  const yaml = writeBoardYaml({ name: nameOf(netlist), remarks, rails, parts }, names);
  if (yaml.length > MOST_LETTERS) throw tooLarge(file);
  const warnings = [
    ...netlist.warnings,
    ...(bom?.warnings ?? []),
    ...joined.warnings,
    ...leftOutWarnings(leftOut, file),
    ...lonePinWarnings(joined.parts, file),
    ...renameWarnings(names, file),
    ...(lone ? [nothingJoined(file)] : []),
  ];
  return { yaml, warnings, summary };
}

/** What a board file may hold, letters. */
const MOST_LETTERS = 32e6;

/** Counts pins per net first: a pin alone on its net joins nothing, and is left out of blocks. */
export function guessParts(
  joined: readonly JoinedPart[],
  leastCount = 0,
): { parts: ImportedPart[]; leftOut: LeftOut[] } {
  const counts = new Map<string, number>();
  for (const part of joined.filter((each) => each.fitted)) {
    for (const pin of connectedPins(part)) counts.set(pin.net, (counts.get(pin.net) ?? 0) + 1);
  }
  const nets = { pinCount: (net: string): number => Math.max(leastCount, counts.get(net) ?? 0) };
  const parts: ImportedPart[] = [];
  const leftOut: LeftOut[] = [];
  for (const part of joined.toSorted((a, b) => naturalOrder(a.name, b.name))) {
    if (!part.fitted) {
      leftOut.push({ part, why: 'not fitted' });
      continue;
    }
    const draft = guessKind(part, nets);
    const live = draft.pins.filter((pin) => nets.pinCount(pin.net) > 1);
    if (live.length === 0) leftOut.push({ part, why: 'touches no other part' });
    else parts.push(finish(part, draft));
  }
  return { parts, leftOut };
}

function keepLonePins(part: JoinedPart): JoinedPart {
  const pins = part.pins.map((pin) => ({ ...pin, net: pin.net ?? `NC_${part.name}_${pin.name}` }));
  return { ...part, pins };
}

/** Adds to a draft what does not depend on its kind. */
function finish(part: JoinedPart, draft: ReturnType<typeof guessKind>): ImportedPart {
  const isValued = VALUED.has(draft.kind);
  const { volts, toleranceRatio } = isValued ? readValueText(part.value, 'farads') : {};
  const number = part.partNumber || (NUMBERED.has(draft.kind) ? partNumberIn(part.value) : '');
  const text = part.value === number || saysNoMore(part.value, draft) ? '' : part.value;
  const guesses = part.listed ? draft.guesses : [...draft.guesses, 'not in the bill of materials'];
  return {
    ...draft,
    name: part.name,
    guesses,
    ...(volts === undefined ? {} : { volts }),
    ...(toleranceRatio === undefined ? {} : { toleranceRatio }),
    ...(part.footprint === '' ? {} : { package: part.footprint }),
    ...(number === '' ? {} : { partNumber: number }),
    ...(text === '' ? {} : { text }),
    ...(part.side === undefined ? {} : { side: part.side }),
    ...middle(draft.pins),
  };
}

/** True when the value as written holds nothing beside the number that was read from it. */
function saysNoMore(value: string, draft: ReturnType<typeof guessKind>): boolean {
  const read =
    draft.kind === 'jumper' ||
    draft.ohms !== undefined ||
    draft.farads !== undefined ||
    draft.henries !== undefined;
  return read && /^[\d.]+\s*[a-zA-Z\u00b5\u03bc\u03a9\u2126]{0,4}\d*$/.test(value.trim());
}

const VALUED = new Set(
  'resistor ceramic film electrolytic tantalum varistor zener suppressor'.split(' '),
);

const NUMBERED = new Set(
  'diode schottky suppressor n-mosfet p-mosfet npn pnp igbt scr triac optocoupler bridge-rectifier regulator ic n-mosfet-with-sense-lead diode-pair-common-cathode diode-pair-common-anode diode-pair-in-series'.split(
    ' ',
  ),
);

/** A value with letters and digits and no blanks is a maker's number; `12V` is not. */
function partNumberIn(value: string): string {
  return /^(?=.*[A-Z])(?=.*\d)[\w./+-]{4,}$/i.test(value) &&
    !/^(SOD|SOT|DO|TO)-?\d/i.test(value) &&
    !/^[\d.]+V$/i.test(value)
    ? value
    : '';
}

function middle(pins: ImportedPart['pins']): { at?: readonly [number, number] } {
  const places = pins.flatMap((pin) => (pin.at ? [pin.at] : []));
  if (places.length === 0) return {};
  const x = places.reduce((sum, [value]) => sum + value, 0) / places.length;
  const y = places.reduce((sum, [, value]) => sum + value, 0) / places.length;
  return { at: [roundMm(x), roundMm(y)] };
}

function summarize(
  parts: readonly ImportedPart[],
  rails: number,
  names: CleanNames,
  leftOut: number,
): ImportSummary {
  const unknown = parts.filter((part) => part.kind === 'unknown').length;
  const guessed = parts.filter((part) => part.kind !== 'unknown' && part.guesses.length > 0).length;
  return {
    parts: parts.length,
    nets: names.nets.size,
    rails,
    told: parts.length - guessed - unknown,
    guessed,
    unknown,
    leftOut,
  };
}

function remarksOf(input: ImportInput, summary: ImportSummary): string[] {
  const bom = input.bom ? ` and ${baseName(input.bom.file)}` : ', without a bill of materials';
  return [
    `Imported from ${baseName(input.netlist.file)}${bom}.`,
    `${summary.parts} parts on ${summary.nets} nets; ${summary.leftOut} left out (no joined pin, or not fitted).`,
    `Told by the files: ${summary.told}. With a guess to confirm: ${summary.guessed}. Unknown: ${summary.unknown}.`,
    'Rails are proposals, each with its reason. Positions are in mm. Check what says "guess".',
  ];
}

function baseName(file: string): string {
  if (file === '-') return 'standard input';
  return file.slice(Math.max(file.lastIndexOf('/'), file.lastIndexOf('\\')) + 1);
}

function nameOf(netlist: Netlist): string {
  if (netlist.title === undefined && netlist.file === '-') return 'imported board';
  const title = baseName(netlist.title ?? netlist.file).replace(/\.[A-Za-z]\w{0,4}$/, '');
  return title || 'imported board';
}
