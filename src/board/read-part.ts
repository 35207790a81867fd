import type { Checked } from './checked.ts';
import {
  entriesOf,
  fieldOf,
  isTrue,
  itemsOf,
  numberOf,
  pairOf,
  textOf,
  textsOf,
} from './checked.ts';
import * as complaints from './complaints.ts';
import type { Findings } from './findings.ts';
import type { Kind, Part } from './model.ts';
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

export interface PinDraft {
  readonly name: string;
  readonly net: string;
  readonly netSpot: Spot;
  readonly at?: readonly [number, number];
}

export interface WindingDraft {
  readonly name: string;
  /** Pin names of the part. */
  readonly pins: readonly [string, string];
  readonly ohms: number;
}

/** What goes into {@link Part} just as the file says it. */
export type PartFacts = Omit<Part, 'index' | 'name' | 'kind' | 'pins' | 'windings' | 'line'>;

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

type Places = Map<
  string,
  { readonly key: Spot; readonly at: readonly [number, number] | undefined }
>;

function readPinPlaces(piece: Checked | undefined): Places {
  const places: Places = new Map();
  for (const [pin, { key, value }] of entriesOf(piece)) places.set(pin, { key, at: pairOf(value) });
  return places;
}

function readPins(
  part: string,
  piece: Checked | undefined,
  kind: Kind | undefined,
  places: Places,
  findings: Findings,
): PinDraft[] {
  const listed = Array.isArray(piece?.value);
  const pins = listed
    ? readPinList(itemsOf(piece), kind, places)
    : readPinMap(part, piece, kind, places, findings);
  for (const [word, { key }] of places) {
    const known = pins.map((pin) => pin.name);
    if (piece) findings.error(key, complaints.unknownPin(word, part, known));
  }
  if (piece === undefined || kind === undefined || kind.pins.length === 0) return pins;
  if (listed) {
    if (pins.length !== kind.pins.length) {
      const asked = `${kind.pins.length} (${kind.pins.join(', ')}) are`;
      findings.error(piece, complaints.wrongLength(pins.length, asked));
    }
    return pins;
  }
  const missing = kind.pins.filter((name) => !pins.some((pin) => pin.name === name));
  // An unknown pin was reported, and is most likely the one missing.
  const unknown = entriesOf(piece).size > pins.length;
  if (missing.length > 0 && !unknown) {
    const spot = { start: piece.start, end: piece.start + 1 };
    findings.error(spot, complaints.missingPins(`${part} (${kind.name})`, missing));
  }
  return pins;
}

function readPinList(
  items: readonly Checked[],
  kind: Kind | undefined,
  places: Places,
): PinDraft[] {
  return items.map((net, i) => {
    const name = kind?.pins[i] ?? String(i + 1);
    return pinDraft(name, net, takePlace(places, name));
  });
}

function readPinMap(
  part: string,
  piece: Checked | undefined,
  kind: Kind | undefined,
  places: Places,
  findings: Findings,
): PinDraft[] {
  const pins = new Map<string, PinDraft>();
  for (const [word, { key, value }] of entriesOf(piece)) {
    const name = kind ? pinNamed(kind, word) : word;
    if (name === undefined) {
      findings.error(key, complaints.unknownPin(word, `${part} (${kind?.name})`, kind?.pins ?? []));
    } else if (pins.has(name)) {
      findings.error(key, complaints.duplicatePin(word, name));
    } else if (value !== undefined) {
      pins.set(name, pinDraft(name, value, takePlace(places, word) ?? takePlace(places, name)));
    }
  }
  return [...pins.values()];
}

/** The kind's own name for a pin, or undefined when it has no such pin. */
function pinNamed(kind: Kind, word: string): string | undefined {
  if (kind.pins.length === 0 || kind.pins.includes(word)) return word;
  return kind.pinAliases.get(word);
}

/** Takes a position out of the places, so that what is left over belongs to no pin. */
function takePlace(places: Places, pin: string): readonly [number, number] | undefined {
  const place = places.get(pin);
  places.delete(pin);
  return place?.at;
}

function pinDraft(name: string, net: Checked, at: PinDraft['at']): PinDraft {
  return { name, net: String(net.value), netSpot: net, ...(at ? { at } : {}) };
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

function readFacts(piece: Checked): PartFacts {
  const heatsink = fieldOf(piece, 'heatsink')?.value;
  const side = textOf(fieldOf(piece, 'side'));
  return {
    ...defined('ohms', numberOf(fieldOf(piece, 'ohms'))),
    ...defined('farads', numberOf(fieldOf(piece, 'farads'))),
    ...defined('henries', numberOf(fieldOf(piece, 'henries'))),
    ...defined('volts', numberOf(fieldOf(piece, 'volts'))),
    ...defined('toleranceRatio', numberOf(fieldOf(piece, 'tolerance'))),
    ...defined('package', textOf(fieldOf(piece, 'package'))),
    ...defined('heatsink', heatsink === true ? 'heatsink' : textOf(fieldOf(piece, 'heatsink'))),
    ...defined('bank', textOf(fieldOf(piece, 'bank'))),
    ...defined('at', pairOf(fieldOf(piece, 'at'))),
    ...defined('side', sideOf(side)),
    ...defined('mark', textOf(fieldOf(piece, 'mark'))),
    ...defined('partNumber', textOf(fieldOf(piece, 'part-number'))),
    ...defined('text', textOf(fieldOf(piece, 'text'))),
    failsFirst: isTrue(fieldOf(piece, 'fails-first')),
    guesses: textsOf(fieldOf(piece, 'guess')),
  };
}

function sideOf(word: string | undefined): 'top' | 'bottom' | undefined {
  return word === 'top' || word === 'bottom' ? word : undefined;
}

/** `{key: value}`, or nothing at all: absent facts leave no key behind. */
function defined<K extends string, V>(key: K, value: V | undefined): { [P in K]?: V } {
  return value === undefined ? {} : ({ [key]: value } as { [P in K]?: V });
}
