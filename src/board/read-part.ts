import type { Checked } from './checked.ts';
import { entriesOf, fieldOf, itemsOf, numberOf, textOf } from './checked.ts';
import * as complaints from './complaints.ts';
import type { Findings } from './findings.ts';
import type { Kind } from './model.ts';
import { type PartFacts, readFacts } from './part-facts.ts';
import { type PinDraft, pinDraft, readPinPlaces, readPins } from './read-pins.ts';
import type { Spot } from './source-text.ts';

/** A part as its file entry gives it: pins by name, nets by name, nothing numbered yet. */
export interface PartDraft {
  readonly name: string;
  readonly spot: Spot;
  /** Undefined when the kind is unknown; that was reported. */
  readonly kind: Kind | undefined;
  readonly pins: readonly PinDraft[];
  readonly windings: readonly WindingDraft[];
  readonly facts: PartFacts;
}

export interface WindingDraft {
  readonly name: string;
  /** Pin names of the part. */
  readonly pins: readonly [string, string];
  readonly ohms: number;
}

const VALUES = ['ohms', 'farads', 'henries'] as const;

/** Reads one entry of `parts`, checking it against its kind. */
export function readPart(
  name: string,
  spot: Spot,
  piece: Checked,
  kinds: ReadonlyMap<string, Kind>,
  findings: Findings,
): PartDraft {
  const kind = readKindName(fieldOf(piece, 'kind'), kinds, findings);
  const places = readPinPlaces(fieldOf(piece, 'pin-at'));
  const pins = readPins(name, fieldOf(piece, 'pins'), kind, places, findings);
  if (kind) checkValues(piece, spot, kind, findings);
  return {
    name,
    spot,
    kind,
    pins,
    windings: readWindings(name, piece, kind, pins, findings),
    facts: readFacts(piece),
  };
}

/** Reads one entry of `jumpers`: a list of two nets, or a map with `nets` in it. */
export function readJumper(
  name: string,
  spot: Spot,
  piece: Checked,
  kind: Kind | undefined,
): PartDraft {
  const nets = Array.isArray(piece.value) ? itemsOf(piece) : itemsOf(fieldOf(piece, 'nets'));
  const pins = nets.map((net, i) => pinDraft(kind?.pins[i] ?? String(i + 1), net, undefined));
  return { name, spot, kind, pins, windings: [], facts: readFacts(piece) };
}

function readKindName(
  piece: Checked | undefined,
  kinds: ReadonlyMap<string, Kind>,
  findings: Findings,
): Kind | undefined {
  const word = textOf(piece);
  if (piece === undefined || word === undefined) return undefined;
  const kind = kinds.get(word);
  if (kind === undefined) findings.error(piece, complaints.unknownKind(word, kinds.keys()));
  return kind;
}

function checkValues(piece: Checked, spot: Spot, kind: Kind, findings: Findings): void {
  for (const key of VALUES) {
    const entry = entriesOf(piece).get(key);
    if (entry && !mayCarry(kind, key)) {
      findings.error(entry.key, complaints.misplacedValue(kind.name, key));
    }
  }
  const needsOhms = usesValue(kind) && kind.typicalOhms === undefined;
  if (needsOhms && !entriesOf(piece).has('ohms')) {
    findings.error(spot, complaints.missingValue(kind.name, 'ohms'));
  }
}

function usesValue(kind: Kind): boolean {
  return kind.healthy.some((spec) => spec.element === 'resistance' && spec.ohms === 'value');
}

/** Windings and links carry ohms beside their own value. */
function mayCarry(kind: Kind, key: (typeof VALUES)[number]): boolean {
  return kind.value === key || (key === 'ohms' && usesValue(kind));
}

function readWindings(
  part: string,
  piece: Checked,
  kind: Kind | undefined,
  pins: readonly PinDraft[],
  findings: Findings,
): WindingDraft[] {
  const entry = entriesOf(piece).get('windings');
  if (entry && kind && kind.pins.length > 0) {
    findings.error(entry.key, complaints.misplacedWindings(kind.name));
    return [];
  }
  const known = pins.map((pin) => pin.name);
  const windings: WindingDraft[] = [];
  for (const [name, { value }] of entriesOf(entry?.value)) {
    const items = itemsOf(fieldOf(value, 'pins'));
    const wrong = items.filter((item) => !known.includes(String(item.value)));
    for (const item of wrong) {
      findings.error(item, complaints.unknownPin(String(item.value), part, known));
    }
    const [first, second] = items.map(textOf);
    const ohms = numberOf(fieldOf(value, 'ohms'));
    if (first === undefined || second === undefined || ohms === undefined) continue;
    windings.push({ name, pins: [first, second], ohms });
  }
  return windings;
}
