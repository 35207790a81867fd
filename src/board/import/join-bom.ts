import type { Diagnostic } from '../diagnostic.ts';
import type { Bom, BomEntry } from './bom.ts';
import type { SourcePart } from './draft.ts';
import type { Netlist, NetlistPart } from './netlist.ts';

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
  const parts = netlist.parts.map((part) => {
    const found = bom && findEntry(part, bom, names, warnings, netlist.file);
    // A line of the bill that names another part, but for its capitals, is that part's.
    const isTaken = (name: string): boolean =>
      name !== part.name && (names.has(name) || used.has(name));
    const entry = found && !isTaken(found.part) ? found : undefined;
    if (entry) used.add(entry.part);
    return joinPart(part, entry, bom !== undefined);
  });
  const unused = [...(bom?.entries.keys() ?? [])].filter((name) => !used.has(name));
  if (bom && unused.length > 0) warnings.push(notInNetlist(unused, bom.file));
  return { parts, warnings };
}

function findEntry(
  part: NetlistPart,
  bom: Bom,
  names: ReadonlySet<string>,
  warnings: Diagnostic[],
  file: string,
): BomEntry | undefined {
  const exact = bom.entries.get(part.name);
  if (exact) return exact;
  const lower = part.name.toLowerCase();
  const entries = [...bom.entries.values()];
  const sameLetters = entries.filter((entry) => entry.part.toLowerCase() === lower);
  if (sameLetters.length === 1) return sameLetters[0];
  if (part.name.length !== CUT_LENGTH) return undefined;
  const longer = entries.filter(
    (entry) => entry.part.toLowerCase().startsWith(lower) && !names.has(entry.part),
  );
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

function joinPart(part: NetlistPart, entry: BomEntry | undefined, haveBom: boolean): JoinedPart {
  const name = entry?.part ?? part.name;
  return {
    name,
    letters: /^[A-Za-z]*/.exec(name)?.[0].toUpperCase() ?? '',
    pins: part.pins.toSorted((a, b) => naturalOrder(a.name, b.name)),
    value: entry?.value ?? '',
    footprint: entry?.footprint ?? '',
    partNumber: entry?.partNumber ?? '',
    description: entry?.description ?? '',
    ...(part.side === undefined ? {} : { side: part.side }),
    listed: entry !== undefined || !haveBom,
    fitted: entry?.fitted ?? true,
    line: part.line,
  };
}

const collator = new Intl.Collator('en', { numeric: true });

/** `R2` before `R10`, pin 9 before pin 10. */
export function naturalOrder(a: string, b: string): number {
  return collator.compare(a, b) || (a < b ? -1 : a > b ? 1 : 0);
}

function notInNetlist(names: readonly string[], file: string): Diagnostic {
  const shown = names.slice(0, 10).join(', ');
  const more = names.length > 10 ? ` and ${names.length - 10} more` : '';
  return {
    code: 'NOT_IN_NETLIST',
    severity: 'warning',
    message: `${names.length} part${names.length === 1 ? '' : 's'} of the bill of materials not in the netlist: ${shown}${more}`,
    place: { file, line: 1, column: 1, endColumn: 2 },
    hint: 'holes and marks without pads are left out of netlists; anything else is worth a look',
  };
}
