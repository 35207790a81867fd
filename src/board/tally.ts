import type { Findings } from './findings.ts';
import type { Kind, Part, Pin, Winding } from './model.ts';
import type { PartDraft } from './read-part.ts';
import type { Spot } from './source-text.ts';

/** Numbers parts, pins and nets in the order they come up. */
export class Tally {
  readonly parts: Part[] = [];
  readonly pins: Pin[] = [];
  /** Pins by net name, and where the net is first named. */
  readonly nets: Map<string, { readonly pins: number[]; readonly spot: Spot }> = new Map();
  /** Where each part is named. */
  readonly spots: Map<string, Spot> = new Map();
  /** Net name of a pin by its full name, `Q1.D`. */
  readonly netOfPin: Map<string, string> = new Map();
  readonly #numbers = new Map<string, number>();

  constructor(drafts: readonly PartDraft[], findings: Findings) {
    for (const draft of drafts) this.#add(draft, findings);
  }

  #add(draft: PartDraft, findings: Findings): void {
    const { name, kind, facts, spot } = draft;
    this.spots.set(name, spot);
    const index = this.parts.length;
    const numberOfPin = new Map<string, number>();
    for (const pin of draft.pins) {
      const number = this.pins.length;
      numberOfPin.set(pin.name, number);
      const at = pin.at ? { at: pin.at } : {};
      this.pins.push({
        index: number,
        part: index,
        name: pin.name,
        net: this.#net(pin, number),
        ...at,
      });
      this.netOfPin.set(`${name}.${pin.name}`, pin.net);
    }
    this.parts.push({
      index,
      name,
      // A missing kind has been reported, and this board will not leave the loader.
      kind: kind ?? NO_KIND,
      pins: [...numberOfPin.values()],
      windings: draft.windings.flatMap((winding) => numbered(winding, numberOfPin)),
      ...facts,
      line: findings.source.lineAt(spot.start),
    });
  }

  #net(pin: { readonly net: string; readonly netSpot: Spot }, number: number): number {
    const entry = this.nets.get(pin.net);
    if (entry) entry.pins.push(number);
    else {
      this.#numbers.set(pin.net, this.#numbers.size);
      this.nets.set(pin.net, { pins: [number], spot: pin.netSpot });
    }
    return this.netNumber(pin.net) ?? 0;
  }

  netNumber(name: string): number | undefined {
    return this.#numbers.get(name);
  }
}

const NO_KIND: Kind = {
  name: '',
  title: '',
  pins: [],
  pinAliases: new Map(),
  symmetric: false,
  healthy: [],
  modes: [],
  fitRate: 0,
  value: 'none',
  link: false,
  source: '',
};

function numbered(
  winding: PartDraft['windings'][number],
  numberOfPin: ReadonlyMap<string, number>,
): Winding[] {
  const [first, second] = winding.pins.map((pin) => numberOfPin.get(pin));
  if (first === undefined || second === undefined) return [];
  return [{ name: winding.name, pins: [first, second], ohms: winding.ohms }];
}
