import type { Diagnostic } from '../diagnostic.ts';
import type { Bom, BomEntry } from './bom.ts';
import type { SourcePart } from './draft.ts';
import type { Netlist, NetlistPart } from './netlist.ts';
import { counted, listed } from './say.ts';

/** Some writers cut a part's name after six characters. */
const CUT_LENGTH = 6;

export interface JoinedPart extends SourcePart {
  readonly side?: 'top' | 'bottom';
  /** False when a bill of materials was given and does not list the part. */
  readonly listed: boolean;
  readonly fitted: boolean;
  readonly line: number;
}

/** Puts the lines of the bill of materials to the parts of the netlist. */
export function joinBom(
  netlist: Netlist,
  bom: Bom | undefined,
): { parts: readonly JoinedPart[]; warnings: readonly Diagnostic[] } {
  const warnings: Diagnostic[] = [];
  const used = new Set<string>();
  const names = new Set(netlist.parts.map((part) => part.name));
  const finder = bom && new EntryFinder(bom, names);
  const unlisted: string[] = [];
  const parts = netlist.parts.map((part) => {
    const found = finder?.find(part, warnings, netlist);
    // A line of the bill that names another part, but for its capitals, is that part's.
    const isTaken = (name: string): boolean =>
      name !== part.name && (names.has(name) || used.has(name));
    const entry = found && !isTaken(found.part) ? found : undefined;
    if (entry) used.add(entry.part);
    else if (bom) unlisted.push(part.name);
    return joinPart(part, entry, bom !== undefined);
  });
  const unused = [...(bom?.entries.keys() ?? [])].filter((name) => !used.has(name));
  if (bom && unused.length > 0) warnings.push(notInNetlist(unused, bom.file));
  if (bom && unlisted.length > 0) warnings.push(notInBill(unlisted, netlist.file));
  return { parts, warnings };
}

/** Finds the line of a part: by its name, by its letters in any case, or by a name cut short. */
class EntryFinder {
  readonly #bom: Bom;
  readonly #names: ReadonlySet<string>;
  readonly #byLetters = new Map<string, BomEntry[]>();
  /** Entries whose names are longer than the cut, by what is left of them. */
  readonly #byStart = new Map<string, BomEntry[]>();

  constructor(bom: Bom, names: ReadonlySet<string>) {
    this.#bom = bom;
    this.#names = names;
    for (const entry of bom.entries.values()) {
      const lower = entry.part.toLowerCase();
      push(this.#byLetters, lower, entry);
      if (lower.length > CUT_LENGTH) push(this.#byStart, lower.slice(0, CUT_LENGTH), entry);
    }
  }

  find(part: NetlistPart, warnings: Diagnostic[], { file, form }: Netlist): BomEntry | undefined {
    const exact = this.#bom.entries.get(part.name);
    if (exact) return exact;
    const lower = part.name.toLowerCase();
    const [same, another] = this.#byLetters.get(lower) ?? [];
    if (same && !another) return same;
    if (form !== 'IPC-D-356' || part.name.length !== CUT_LENGTH) return undefined;
    const longer = (this.#byStart.get(lower) ?? []).filter((entry) => !this.#names.has(entry.part));
    const [only, ...others] = longer;
    if (!only) return undefined;
    const message =
      others.length === 0
        ? `part "${part.name}" is taken as "${only.part}", its name cut to six characters`
        : `part "${part.name}" may be ${longer.map((entry) => `"${entry.part}"`).join(' or ')}`;
    warnings.push({
      code: 'NAME_CUT',
      severity: 'warning',
      message,
      place: { file, line: part.line, column: 21, endColumn: 27 },
    });
    return others.length === 0 ? only : undefined;
  }
}

function push(map: Map<string, BomEntry[]>, key: string, entry: BomEntry): void {
  const list = map.get(key);
  if (list) list.push(entry);
  else map.set(key, [entry]);
}

function joinPart(part: NetlistPart, entry: BomEntry | undefined, haveBom: boolean): JoinedPart {
  const name = entry?.part ?? part.name;
  return {
    name,
    letters: part.letters ?? /^[A-Za-z]*/.exec(name)?.[0].toUpperCase() ?? '',
    pins: part.pins.toSorted((a, b) => naturalOrder(a.name, b.name)),
    value: entry?.value || short(part.value),
    footprint: entry?.footprint || short(part.footprint),
    partNumber: entry?.partNumber || short(part.partNumber),
    description: entry?.description ?? '',
    ...(part.side === undefined ? {} : { side: part.side }),
    ...(part.told === undefined ? {} : { told: part.told }),
    ...(part.doubts === undefined ? {} : { doubts: part.doubts }),
    listed: entry !== undefined || !haveBom,
    fitted: entry?.fitted ?? true,
    line: part.line,
  };
}

/** No longer than a cell of a bill is taken. */
function short(text: string | undefined): string {
  return text?.slice(0, 300) ?? '';
}

const collator = new Intl.Collator('en', { numeric: true });

/** `R2` before `R10`, pin 9 before pin 10. */
export function naturalOrder(a: string, b: string): number {
  return collator.compare(a, b) || (a < b ? -1 : a > b ? 1 : 0);
}

function notInNetlist(names: readonly string[], file: string): Diagnostic {
  return {
    code: 'NOT_IN_NETLIST',
    severity: 'warning',
    message: `${counted(names.length, 'part')} of the bill of materials not in the netlist: ${listed(names)}`,
    place: { file, line: 1, column: 1, endColumn: 2 },
    hint: 'holes and marks without pads are left out of netlists; anything else is worth a look',
  };
}

function notInBill(names: readonly string[], file: string): Diagnostic {
  return {
    code: 'NOT_IN_BILL',
    severity: 'warning',
    message: `${counted(names.length, 'part')} of the netlist not in the bill of materials: ${listed(names)}`,
    place: { file, line: 1, column: 1, endColumn: 2 },
    hint: 'their kinds are told by their names alone',
  };
}
