import type { Checked } from './checked.ts';
import { entriesOf, fieldOf, numberOf, textOf, textsOf } from './checked.ts';
import * as complaints from './complaints.ts';
import type { Findings } from './findings.ts';
import { readKinds } from './kinds.ts';
import type { Board, Heatsink, Kind, Net, Rail } from './model.ts';
import { readCopper } from './read-copper.ts';
import type { PartDraft } from './read-part.ts';
import { readJumper, readPart } from './read-part.ts';
import { Tally } from './tally.ts';

/** What a board file says, once it has been put together; its file and digest come from outside. */
export type BoardContent = Omit<Board, 'file' | 'digest'>;

/**
 * Numbers the parts, pins and nets of a checked file and checks what one entry asks of another.
 * Gives a board even after errors, for the sake of finding them all; the caller must not use it.
 */
export function assemble(
  piece: Checked | undefined,
  known: ReadonlyMap<string, Kind>,
  findings: Findings,
): BoardContent {
  const kinds = allKinds(fieldOf(piece, 'kinds'), known, findings);
  const drafts = readDrafts(piece, kinds, findings);
  const tally = new Tally(drafts, findings);
  const nets = readNets(fieldOf(piece, 'nets'), tally, findings);
  checkNames(tally, findings);
  const revision = textOf(fieldOf(piece, 'revision'));
  const netNumber = (name: Checked): number | undefined => listedNet(name, tally, findings);
  const copper = readCopper(fieldOf(piece, 'copper'), netNumber, findings);
  return {
    name: textOf(fieldOf(piece, 'board')) ?? '',
    ...(revision === undefined ? {} : { revision }),
    parts: tally.parts,
    pins: tally.pins,
    nets,
    rails: readRails(fieldOf(piece, 'rails'), tally, findings),
    heatsinks: readHeatsinks(fieldOf(piece, 'heatsinks'), tally, findings),
    ...(copper === undefined ? {} : { copper }),
    partNamed: new Map(tally.parts.map((part) => [part.name, part])),
    netNamed: new Map(nets.map((net) => [net.name, net])),
  };
}

/** The catalogue's kinds and the board's own, which win. */
function allKinds(
  piece: Checked | undefined,
  known: ReadonlyMap<string, Kind>,
  findings: Findings,
): ReadonlyMap<string, Kind> {
  if (piece === undefined) return known;
  for (const [name, { key }] of entriesOf(piece)) {
    if (known.has(name)) findings.warning(key, complaints.kindReplaced(name));
  }
  return new Map([...known, ...readKinds(piece, findings)]);
}

/** Parts first, then jumpers, each in file order. */
function readDrafts(
  piece: Checked | undefined,
  kinds: ReadonlyMap<string, Kind>,
  findings: Findings,
): PartDraft[] {
  const drafts = new Map<string, PartDraft>();
  for (const [name, { key, value }] of entriesOf(fieldOf(piece, 'parts'))) {
    if (value) drafts.set(name, readPart(name, key, value, kinds, findings));
  }
  for (const [name, { key, value }] of entriesOf(fieldOf(piece, 'jumpers'))) {
    const first = drafts.get(name);
    if (first) {
      const line = findings.source.lineAt(first.spot.start);
      findings.error(key, complaints.duplicatePart(name, line));
    } else if (value) {
      const jumper = readJumper(name, key, value, kinds.get('jumper'));
      drafts.set(name, onNetsOnly(jumper, drafts, findings));
    }
  }
  return [...drafts.values()];
}

/** The jumper without the ends that name a part or a pin, which are reported. */
function onNetsOnly(
  jumper: PartDraft,
  drafts: ReadonlyMap<string, PartDraft>,
  findings: Findings,
): PartDraft {
  const pins = jumper.pins.filter(({ net, netSpot }) => {
    const dot = net.lastIndexOf('.');
    const pin = drafts.get(net.slice(0, Math.max(dot, 0)))?.pins;
    const onPin = pin?.find(({ name }) => name === net.slice(dot + 1));
    if (!drafts.has(net) && onPin === undefined) return true;
    findings.error(netSpot, complaints.jumperOnPart(net, onPin?.net));
    return false;
  });
  return { ...jumper, pins };
}

function readNets(piece: Checked | undefined, tally: Tally, findings: Findings): Net[] {
  const declared = entriesOf(piece);
  for (const [name, { key, value }] of declared) {
    if (!tally.nets.has(name)) findings.error(key, unknownNet(name, tally));
    checkPoints(name, value, tally, findings);
  }
  return [...tally.nets].map(([name, { pins, spot }], index) => {
    const entry = declared.get(name);
    const line = findings.source.lineAt((entry?.key ?? spot).start);
    return { index, name, pins, points: textsOf(fieldOf(entry?.value, 'points')), line };
  });
}

/** A point that names a pin of a listed part must name one on this net. */
function checkPoints(
  net: string,
  piece: Checked | undefined,
  tally: Tally,
  findings: Findings,
): void {
  const points = fieldOf(piece, 'points')?.value;
  for (const point of Array.isArray(points) ? (points as readonly Checked[]) : []) {
    const word = String(point.value);
    const part = word.slice(0, Math.max(0, word.lastIndexOf('.')));
    if (!tally.spots.has(part)) continue;
    const real = tally.netOfPin.get(word);
    if (real === undefined) {
      const pins = [...tally.netOfPin.keys()].filter((name) => name.startsWith(`${part}.`));
      findings.error(point, complaints.unknownPin(word, part, pins));
    } else if (real !== net) {
      findings.error(point, complaints.pointElsewhere(word, net, real));
    }
  }
}

function unknownNet(name: string, tally: Tally): ReturnType<typeof complaints.unknownNet> {
  return complaints.unknownNet(name, tally.spots.has(name), tally.nets.keys());
}

/** A point of a reading is a net or a pin, so no net may be called like a part or a pin. */
function checkNames(tally: Tally, findings: Findings): void {
  for (const [name, { spot }] of tally.nets) {
    const dot = name.lastIndexOf('.');
    const part = dot >= 0 && tally.netOfPin.has(name) ? name.slice(0, dot) : name;
    const clash = tally.spots.get(part);
    if (clash === undefined) continue;
    findings.error(spot, complaints.nameClash(name, findings.source.lineAt(clash.start)));
  }
}

function readRails(piece: Checked | undefined, tally: Tally, findings: Findings): Rail[] {
  const rails: Rail[] = [];
  for (const [name, { value }] of entriesOf(piece)) {
    const plus = listedNet(fieldOf(value, 'plus'), tally, findings);
    const minus = listedNet(fieldOf(value, 'minus'), tally, findings);
    if (value === undefined || plus === undefined || minus === undefined) continue;
    if (plus === minus) findings.error(value, complaints.railOnOneNet(name));
    const volts = numberOf(fieldOf(value, 'volts'));
    rails.push({ name, plus, minus, ...(volts === undefined ? {} : { volts }) });
  }
  return rails;
}

/** A heatsink with a net must hold a part: a slip in its name would pass unseen. */
function readHeatsinks(piece: Checked | undefined, tally: Tally, findings: Findings): Heatsink[] {
  const known = new Set(tally.parts.flatMap((part) => part.heatsink ?? []));
  return [...entriesOf(piece)].flatMap(([name, { key, value }]) => {
    if (!known.has(name)) findings.error(key, complaints.unknownHeatsink(name, known));
    const net = listedNet(fieldOf(value, 'net'), tally, findings);
    return net === undefined ? [] : [{ name, net }];
  });
}

function listedNet(
  piece: Checked | undefined,
  tally: Tally,
  findings: Findings,
): number | undefined {
  const name = textOf(piece);
  if (piece === undefined || name === undefined) return undefined;
  const number = tally.netNumber(name);
  if (number === undefined) findings.error(piece, unknownNet(name, tally));
  return number;
}
