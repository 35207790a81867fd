import type { Checked, CheckedEntry } from './checked.ts';
import { entriesOf, itemsOf, pairOf } from './checked.ts';
import * as complaints from './complaints.ts';
import type { Findings } from './findings.ts';
import type { Kind } from './model.ts';
import type { Spot } from './source-text.ts';

/** A pin as the file gives it. */
export interface PinDraft {
  readonly name: string;
  readonly net: string;
  readonly netSpot: Spot;
  readonly at?: readonly [number, number];
}

/** Reads `pin-at`. */
export function readPinPlaces(piece: Checked | undefined): PinPlaces {
  return piece === undefined ? NO_PLACES : new PinPlaces(entriesOf(piece));
}

/** Pad positions by pin name, as given, each to be taken by one pin. */
class PinPlaces {
  readonly #given: ReadonlyMap<string, CheckedEntry>;
  readonly #taken = new Set<string>();

  constructor(given: ReadonlyMap<string, CheckedEntry>) {
    this.#given = given;
  }

  /** Undefined where none was given, or another pin has it. */
  take(pin: string): readonly [number, number] | undefined {
    const entry = this.#given.get(pin);
    if (entry === undefined || this.#taken.has(pin)) return undefined;
    this.#taken.add(pin);
    return pairOf(entry.value);
  }

  /** Those that belong to no pin. */
  left(): { readonly pin: string; readonly key: Spot }[] {
    if (this.#taken.size === this.#given.size) return [];
    return [...this.#given].flatMap(([pin, { key }]) => (this.#taken.has(pin) ? [] : { pin, key }));
  }
}

const NO_PLACES = new PinPlaces(new Map());

/** Reads `pins` in either form and holds them against the kind. */
export function readPins(
  part: string,
  piece: Checked | undefined,
  kind: Kind | undefined,
  places: PinPlaces,
  findings: Findings,
): PinDraft[] {
  const listed = Array.isArray(piece?.value);
  const pins = listed
    ? readPinList(itemsOf(piece), kind, places)
    : readPinMap(part, piece, kind, places, findings);
  for (const { pin: word, key } of places.left()) {
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
  places: PinPlaces,
): PinDraft[] {
  return items.map((net, i) => {
    const name = kind?.pins[i] ?? String(i + 1);
    return pinDraft(name, net, places.take(name));
  });
}

function readPinMap(
  part: string,
  piece: Checked | undefined,
  kind: Kind | undefined,
  places: PinPlaces,
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
      pins.set(name, pinDraft(name, value, places.take(word) ?? places.take(name)));
    }
  }
  return [...pins.values()];
}

/** The kind's own name for a pin, or undefined when it has no such pin. */
function pinNamed(kind: Kind, word: string): string | undefined {
  if (kind.pins.length === 0 || kind.pins.includes(word)) return word;
  return kind.pinAliases.get(word);
}

/** One pin of a draft. */
export function pinDraft(name: string, net: Checked, at: PinDraft['at']): PinDraft {
  const word = String(net.value);
  return at === undefined
    ? { name, net: word, netSpot: net }
    : { name, net: word, netSpot: net, at };
}
