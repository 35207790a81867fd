import type { Findings } from './findings.ts';
import type { Kind, Part, Pin, Winding } from './model.ts';
import type { PartDraft } from './read-part.ts';
import type { PinDraft } from './read-pins.ts';
import type { Spot } from './source-text.ts';

/** Numbers parts, pins and nets in the order they come up. */
export class Tally {
  readonly parts: Part[] = [];
  readonly pins: Pin[] = [];
  /** Number and pins by net name, and where the net is first named. */
  readonly nets: Map<string, TalliedNet> = new Map();
  /** Where each part is named. */
  readonly spots: Map<string, Spot> = new Map();
  #netOfPin: Map<string, string> | undefined;

  constructor(drafts: readonly PartDraft[], findings: Findings) {
    for (const draft of drafts) this.#add(draft, findings);
  }

  #add(draft: PartDraft, findings: Findings): void {
    const { name, kind, facts, spot } = draft;
    this.spots.set(name, spot);
    const index = this.parts.length;
    const pins = draft.pins.map((pin) => this.#addPin(pin, index));
    this.parts.push({
      index,
      name,
      // A missing kind has been reported, and this board will not leave the loader.
      kind: kind ?? NO_KIND,
      pins,
      windings: draft.windings.length === 0 ? NO_WINDINGS : numbered(draft, pins),
      ...facts,
      line: findings.source.lineAt(spot.start),
    });
  }

  #addPin({ name, net, netSpot, at }: PinDraft, part: number): number {
    const index = this.pins.length;
    let entry = this.nets.get(net);
    if (entry === undefined) {
      entry = { number: this.nets.size, pins: [index], spot: netSpot };
      this.nets.set(net, entry);
    } else entry.pins.push(index);
    const { number } = entry;
    this.pins.push(
      at === undefined
        ? { index, part, name, net: number }
        : { index, part, name, net: number, at },
    );
    return index;
  }

  netNumber(name: string): number | undefined {
    return this.nets.get(name)?.number;
  }

  /** Net name of a pin by its full name, `Q1.D`; put together when something asks, which few files do. */
  get netOfPin(): ReadonlyMap<string, string> {
    if (this.#netOfPin === undefined) {
      const nets = [...this.nets.keys()];
      this.#netOfPin = new Map(
        this.pins.map(({ part, name, net }) => [
          `${this.parts[part]?.name}.${name}`,
          nets[net] as string,
        ]),
      );
    }
    return this.#netOfPin;
  }
}

interface TalliedNet {
  readonly number: number;
  readonly pins: number[];
  readonly spot: Spot;
}

const NO_WINDINGS: readonly Winding[] = [];

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

function numbered({ pins: drafts, windings }: PartDraft, pins: readonly number[]): Winding[] {
  const numberOf = new Map(drafts.map(({ name }, k) => [name, pins[k] as number]));
  return windings.flatMap((winding) => {
    const [first, second] = winding.pins.map((pin) => numberOf.get(pin));
    if (first === undefined || second === undefined) return [];
    return [{ name: winding.name, pins: [first, second] as const, ohms: winding.ohms }];
  });
}
