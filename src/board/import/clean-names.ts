import { isObjectWord, isReserved } from '../names.ts';
import type { ImportedPart } from './imported.ts';

/** Old name → name a board file takes. */
export interface CleanNames {
  readonly parts: ReadonlyMap<string, string>;
  readonly nets: ReadonlyMap<string, string>;
  /** Old and new, where they differ. */
  readonly renamed: readonly {
    readonly what: 'part' | 'net';
    readonly from: string;
    readonly to: string;
  }[];
}

const MOST_LETTERS = 190;

/**
 * Names a board file and the reading notation take: no blanks, no words the notation keeps for
 * itself, no name for two things. Nets keep theirs before parts do.
 */
export function cleanNames(parts: readonly ImportedPart[]): CleanNames {
  const taken = new Set<string>();
  const nets = new Map<string, string>();
  const partNames = new Map<string, string>();
  for (const part of parts) {
    for (const { net } of part.pins) {
      if (!nets.has(net)) nets.set(net, claim(tidy(net, /[\s\p{C}]/gu), taken));
    }
  }
  for (const { name } of parts) {
    if (!partNames.has(name)) {
      partNames.set(name, claim(tidy(name, /[\s\p{C}.:,]/gu), taken, '_part'));
    }
  }
  avoidPins(parts, nets, partNames, taken);
  return {
    parts: partNames,
    nets,
    renamed: [...changes('net', nets), ...changes('part', partNames)],
  };
}

/** A pin name as a board file takes it. */
export function cleanPin(name: string): string {
  return tidy(name, /[\s\p{C}.:,]/gu);
}

function tidy(name: string, refused: RegExp): string {
  const clean = name.replace(refused, '_').slice(0, MOST_LETTERS) || '_';
  return isReserved(clean) || isObjectWord(clean) ? `${clean}_` : clean;
}

function claim(name: string, taken: Set<string>, suffix = ''): string {
  let free = taken.has(name) ? `${name}${suffix || '_2'}` : name;
  for (let n = 2; taken.has(free); n += 1) free = `${name}${suffix}_${n}`;
  taken.add(free);
  return free;
}

/** A net called `R1.2` could mean the pin. */
function avoidPins(
  parts: readonly ImportedPart[],
  nets: Map<string, string>,
  partNames: ReadonlyMap<string, string>,
  taken: Set<string>,
): void {
  const pins = new Set<string>();
  for (const part of parts) {
    const name = partNames.get(part.name) ?? part.name;
    for (const pin of part.pins) pins.add(`${name}.${cleanPin(pin.name)}`);
  }
  for (const [old, name] of nets) {
    if (pins.has(name)) nets.set(old, claim(`${name}_net`, taken));
  }
}

function changes(
  what: 'part' | 'net',
  names: ReadonlyMap<string, string>,
): { what: 'part' | 'net'; from: string; to: string }[] {
  return [...names].flatMap(([from, to]) => (from === to ? [] : [{ what, from, to }]));
}
