import { type Diagnostic, InputError } from '../diagnostic.ts';
import type { CleanNames } from './clean-names.ts';
import type { JoinedPart } from './join-bom.ts';
import type { Netlist, NetlistForm } from './netlist.ts';
import { listed } from './say.ts';

/** A part that is not in the board file. */
export interface LeftOut {
  readonly part: JoinedPart;
  readonly why: 'not fitted' | 'touches no other part';
}

/** Why the netlist makes no board. */
export function nothingFound(netlist: Netlist): InputError {
  const isEmpty = netlist.records === 0;
  const { nothing, hint } = NOTHING[netlist.form];
  return new InputError([
    {
      code: isEmpty ? 'NO_RECORDS' : 'NO_PARTS',
      severity: 'error',
      message: isEmpty ? nothing : 'the netlist names no part',
      place: { file: netlist.file, line: 1, column: 1, endColumn: 2 },
      hint,
    },
  ]);
}

const NOTHING: Readonly<Record<NetlistForm, { readonly nothing: string; readonly hint: string }>> =
  {
    'IPC-D-356': {
      nothing: 'this file has no IPC-D-356 test record (lines that begin with 317 or 327)',
      hint: 'export the netlist as IPC-D-356 or IPC-D-356A',
    },
    SPICE: {
      nothing: 'this deck has no element (lines such as "R1 IN OUT 10k")',
      hint: 'export the netlist of the drawing, not the commands of a simulation',
    },
    'pin list': {
      nothing: 'this pin list has no row with a part and a pin',
      hint: 'give every pin a row of part, pin and net',
    },
  };

/** A board file of that size could not be read again. */
export function tooLarge(file: string): InputError {
  return new InputError([
    {
      code: 'TOO_MANY',
      severity: 'error',
      message: 'the board file would be larger than 32 MB, beyond any board',
      place: { file, line: 1, column: 1, endColumn: 2 },
      hint: 'import one board at a time',
    },
  ]);
}

/** Nets that end at a single pin: none of them joins anything, and one of many may be a slip. */
export function lonePinWarnings(parts: readonly JoinedPart[], file: string): Diagnostic[] {
  const pins = new Map<string, string | undefined>();
  for (const part of parts) {
    for (const { name, net } of part.pins) {
      if (net !== undefined) pins.set(net, pins.has(net) ? undefined : `${part.name}.${name}`);
    }
  }
  const lone = [...pins].flatMap(([net, pin]) =>
    pin === undefined || saysUnconnected(net) ? [] : [`${net} at ${pin}`],
  );
  if (lone.length === 0) return [];
  const what =
    lone.length === 1 ? '1 net has only one pin' : `${lone.length} nets have only one pin`;
  return [
    {
      code: 'ONE_PIN',
      severity: 'warning',
      message: `${what}: ${listed(lone)}`,
      place: { file, line: 1, column: 1, endColumn: 2 },
    },
  ];
}

/** Nets that programs make up for pins which are meant to touch nothing. */
function saysUnconnected(net: string): boolean {
  return /UNCONNECTED|\([A-Z]+\d+[A-Z]*-|-PAD\d*\)/i.test(net);
}

export function nothingJoined(file: string): Diagnostic {
  return {
    code: 'NOTHING_JOINED',
    severity: 'warning',
    message: 'the netlist joins no two parts; every pin is kept on its own',
    place: { file, line: 1, column: 1, endColumn: 2 },
  };
}

export function leftOutWarnings(leftOut: readonly LeftOut[], file: string): Diagnostic[] {
  const reasons = new Map<string, string[]>();
  for (const { part, why } of leftOut) {
    reasons.set(why, [...(reasons.get(why) ?? []), part.name]);
  }
  return [...reasons].map(([why, names]) => ({
    code: 'LEFT_OUT',
    severity: 'warning' as const,
    message: `${names.length} left out, ${why}: ${listed(names)}`,
    place: { file, line: 1, column: 1, endColumn: 2 },
  }));
}

export function renameWarnings(names: CleanNames, file: string): Diagnostic[] {
  if (names.renamed.length === 0) return [];
  const list = names.renamed.map(({ what, from, to }) => `${what} "${from}" is now "${to}"`);
  return [
    {
      code: 'RENAMED',
      severity: 'warning',
      message: `names a board file cannot hold were changed: ${listed(list, '; ')}`,
      place: { file, line: 1, column: 1, endColumn: 2 },
    },
  ];
}
