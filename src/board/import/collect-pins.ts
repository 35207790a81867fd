import type { TestRecord } from './ipc356-record.ts';
import type { NetlistPart, NetlistPin } from './netlist.ts';

interface Pad {
  readonly net: string;
  readonly x: number | undefined;
  readonly y: number | undefined;
  readonly line: number;
  readonly text: string;
}

interface OpenPart {
  readonly pins: Map<string, Pad[]>;
  readonly line: number;
  readonly sides: Set<'top' | 'bottom' | 'both'>;
}

type Warn = (code: string, message: string, line: number, hint?: string, text?: string) => void;

/** Gathers test records by part and pin, in the order they first appear. */
export class PinCollector {
  readonly #parts = new Map<string, OpenPart>();

  add(record: TestRecord, line: number, text: string): void {
    let part = this.#parts.get(record.part);
    if (!part) {
      part = { pins: new Map(), line, sides: new Set() };
      this.#parts.set(record.part, part);
    }
    part.sides.add(sideOf(record));
    const pad = { net: record.net, x: record.x, y: record.y, line, text };
    const pads = part.pins.get(record.pin);
    if (pads) pads.push(pad);
    else part.pins.set(record.pin, [pad]);
  }

  /** Merges the pads of each pin; a pin that touches two nets becomes two pins, with a warning. */
  parts(resolve: (net: string) => string, mmPerCount: number, warn: Warn): NetlistPart[] {
    return [...this.#parts].map(([name, open]) => {
      const pins = [...open.pins].flatMap(([pin, pads]) =>
        mergePads(name, pin, pads, resolve, mmPerCount, warn),
      );
      const side = sideOfPart(open.sides);
      return { name, pins, line: open.line, ...(side === undefined ? {} : { side }) };
    });
  }
}

/** Surface pads decide: a connector with drilled tabs sits where they are. Holes alone say nothing. */
function sideOfPart(sides: OpenPart['sides']): 'top' | 'bottom' | undefined {
  if (sides.has('top') === sides.has('bottom')) return undefined;
  return sides.has('top') ? 'top' : 'bottom';
}

function sideOf(record: TestRecord): 'top' | 'bottom' | 'both' {
  if (record.drilled || record.access === '00' || record.access === '') return 'both';
  return record.access === '01' ? 'top' : 'bottom';
}

function mergePads(
  part: string,
  pin: string,
  pads: readonly Pad[],
  resolve: (net: string) => string,
  mmPerCount: number,
  warn: Warn,
): NetlistPin[] {
  const byNet = new Map<string, Pad[]>();
  for (const pad of pads) {
    const net = pad.net === '' ? '' : resolve(pad.net);
    const same = byNet.get(net);
    if (same) same.push(pad);
    else byNet.set(net, [pad]);
  }
  // A pad without a number or a net holds the part down; it says nothing of the numbered ones.
  if (byNet.size > 1) byNet.delete('');
  const label = pin === '' ? 'pad' : pin;
  if (byNet.size > 1 && pin !== '') {
    const nets = [...byNet.keys()].map((net) => `"${net}"`).join(', ');
    const first = pads[0];
    warn(
      'PIN_ON_TWO_NETS',
      `pin ${part}.${label} is on more than one net: ${nets}`,
      first?.line ?? 0,
      'it is kept as several pins; correct the board file if the part has only one',
      first?.text,
    );
  }
  return [...byNet].map(([net, same], index) => ({
    name: index === 0 ? label : `${label}_${index + 1}`,
    net: net === '' ? undefined : net,
    pads: same.length,
    ...middle(same, mmPerCount),
  }));
}

function middle(pads: readonly Pad[], mmPerCount: number): { at?: readonly [number, number] } {
  let x = 0;
  let y = 0;
  let count = 0;
  for (const pad of pads) {
    if (pad.x === undefined || pad.y === undefined) continue;
    x += pad.x;
    y += pad.y;
    count += 1;
  }
  if (count === 0) return {};
  return { at: [roundMm((x / count) * mmPerCount), roundMm((y / count) * mmPerCount)] };
}

/** To 0.01 mm: finer than any netlist needs, and short to read. */
export function roundMm(mm: number): number {
  return Math.round(mm * 100) / 100;
}
