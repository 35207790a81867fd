import { checkSize, type NetlistPart, type NetlistPin } from './netlist.ts';

/** One pad of one pin, as a record or a row tells it. */
export interface PinRecord {
  readonly part: string;
  /** `''` for a pad without a number. */
  readonly pin: string;
  /** `''` where it touches nothing. */
  readonly net: string;
  readonly x?: number | undefined;
  readonly y?: number | undefined;
  /** Where it is reached from; a hole from both. */
  readonly side: 'top' | 'bottom' | 'both';
  readonly role?: string | undefined;
}

/** The pads of one pin on one net, summed up: a large netlist names the same pin many times. */
interface Pads {
  count: number;
  placed: number;
  x: number;
  y: number;
  readonly line: number;
  /** The line itself, of a second net only: there is something to say about it. */
  readonly text: string;
  role: string | undefined;
}

interface OpenPart {
  /** By pin, then by net as written. */
  readonly pins: Map<string, Map<string, Pads>>;
  readonly line: number;
  readonly sides: Set<PinRecord['side']>;
}

type Warn = (code: string, message: string, line: number, hint?: string, text?: string) => void;

/** Gathers pads by part and pin, in the order they first appear. */
export class PinCollector {
  readonly #file: string;
  readonly #parts = new Map<string, OpenPart>();
  /** One copy of each net's name, as most are named many times. */
  readonly #nets = new Map<string, string>();
  #pins = 0;

  constructor(file: string) {
    this.#file = file;
  }

  /** @throws {InputError} beyond any board */
  add(record: PinRecord, line: number, text: string): void {
    const part = this.#part(record.part, line);
    part.sides.add(record.side);
    const net = this.#net(record.net);
    let nets = part.pins.get(record.pin);
    if (!nets) {
      nets = new Map();
      part.pins.set(record.pin, nets);
    }
    let pads = nets.get(net);
    if (!pads) {
      this.#pins += 1;
      checkSize(this.#file, line, { parts: this.#parts.size, pins: this.#pins });
      const kept = nets.size === 0 ? '' : text;
      pads = { count: 0, placed: 0, x: 0, y: 0, line, text: kept, role: undefined };
      nets.set(net, pads);
    }
    addPad(pads, record);
  }

  /** Names of nets as written. */
  nets(): Iterable<string> {
    return this.#nets.keys();
  }

  hasNet(net: string): boolean {
    return this.#nets.has(net);
  }

  /** Merges the pads of each pin; a pin that touches two nets becomes two pins, with a warning. */
  parts(resolve: (net: string) => string, mmPerCount: number, warn: Warn): NetlistPart[] {
    return [...this.#parts].map(([name, open]) => {
      const pins = [...open.pins].flatMap(([pin, nets]) =>
        mergePads(name, pin, nets, resolve, mmPerCount, warn),
      );
      const side = sideOfPart(open.sides);
      return { name, pins, line: open.line, ...(side === undefined ? {} : { side }) };
    });
  }

  #part(name: string, line: number): OpenPart {
    const known = this.#parts.get(name);
    if (known) return known;
    const part: OpenPart = { pins: new Map(), line, sides: new Set() };
    this.#parts.set(name, part);
    return part;
  }

  #net(name: string): string {
    const known = this.#nets.get(name);
    if (known !== undefined) return known;
    this.#nets.set(name, name);
    return name;
  }
}

function addPad(pads: Pads, { x, y, role }: PinRecord): void {
  pads.count += 1;
  pads.role ??= role;
  if (x === undefined || y === undefined) return;
  pads.placed += 1;
  pads.x += x;
  pads.y += y;
}

/** Surface pads decide: a connector with drilled tabs sits where they are. Holes alone say nothing. */
function sideOfPart(sides: OpenPart['sides']): 'top' | 'bottom' | undefined {
  if (sides.has('top') === sides.has('bottom')) return undefined;
  return sides.has('top') ? 'top' : 'bottom';
}

function mergePads(
  part: string,
  pin: string,
  nets: ReadonlyMap<string, Pads>,
  resolve: (net: string) => string,
  mmPerCount: number,
  warn: Warn,
): NetlistPin[] {
  const byNet = new Map<string, Pads>();
  for (const [written, pads] of nets) {
    const net = written === '' ? '' : resolve(written);
    const same = byNet.get(net);
    if (same) mergeInto(same, pads);
    else byNet.set(net, { ...pads });
  }
  // A pad without a number or a net holds the part down; it says nothing of the numbered ones.
  if (byNet.size > 1) byNet.delete('');
  const label = pin === '' ? 'pad' : pin;
  if (byNet.size > 1 && pin !== '') {
    const list = [...byNet.keys()].map((net) => `"${net}"`).join(', ');
    const [first, second] = byNet.values();
    warn(
      'PIN_ON_TWO_NETS',
      `pin ${part}.${label} is on more than one net: ${list}`,
      first?.line ?? 0,
      'it is kept as several pins; correct the board file if the part has only one',
      second?.text,
    );
  }
  return [...byNet].map(([net, pads], index) => ({
    name: index === 0 ? label : `${label}_${index + 1}`,
    net: net === '' ? undefined : net,
    pads: pads.count,
    ...middle(pads, mmPerCount),
    ...(pads.role === undefined ? {} : { role: pads.role }),
  }));
}

/** Adds the pads of another alias of the same net. */
function mergeInto(all: Pads, more: Pads): void {
  all.count += more.count;
  all.placed += more.placed;
  all.x += more.x;
  all.y += more.y;
  all.role ??= more.role;
}

function middle(pads: Pads, mmPerCount: number): { at?: readonly [number, number] } {
  if (pads.placed === 0) return {};
  const mean = (sum: number): number => roundMm((sum / pads.placed) * mmPerCount);
  return { at: [mean(pads.x), mean(pads.y)] };
}

/** To 0.01 mm: finer than any netlist needs, and short to read. */
export function roundMm(mm: number): number {
  return Math.round(mm * 100) / 100;
}
