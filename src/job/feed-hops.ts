/** Ways by which one net may feed another on a powered board, part by part. */
import type { Board, Part, Pin } from '../board/model.ts';

/** What carries the feed from net to net. */
export type HopKind =
  /** A link, fuse, bead, choke, closed switch, sense resistor: both nets stand at one voltage. */
  | 'link'
  | 'diode'
  | 'rectifier'
  | 'regulator'
  /** A pin of a switching IC that an inductor or a transformer takes on. */
  | 'converter'
  | 'winding'
  /** From one winding of a transformer to another. */
  | 'transformer'
  | 'transistor'
  | 'resistor';

export interface Hop {
  readonly to: number;
  readonly part: number;
  readonly kind: HopKind;
}

/** Ω up to which a resistor or thermistor in series counts as a link: sense resistors, inrush limiters. */
const LINK_OHMS = 1;
const INRUSH_OHMS = 50;
/** Ω up to which a resistor may stand in the way of a supply; more carries signals and start-up trickles. */
const SERIES_OHMS = 100;
const MOST_START_UP_OHMS = 1e6;

const SUPPLY_PIN = /^(A|D|P)?V(CC|DD|IN|BAT|BUS|S|SYS|M|PWR|SUP|I|\+)\w*$|^IN\d*$|^\+$/i;
const OUTPUT_PIN =
  /^P?V?OUT\w*$|^VO\d*$|^(SW|LX|PH|BUCK|LDO|VREG|REG)\w*$|^PHASE\w*$|^L\d?$|^DRAIN$/i;
/** Kinds with junctions that carry no supply on. */
const NO_RECTIFIER =
  /^(ic|regulator|npn|pnp|.*mosfet.*|igbt|optocoupler|zener|suppressor|two-way-suppressor|led|scr|triac)$/;
const LINKS = new Set(['jumper', 'fuse', 'bead', 'inductor']);
const LEGS_OF_A_SMALL_IC = 6;
/** A pin that goes by its place alone, `12` or `B7`: its net has to tell what it does. */
const PLACE_ONLY = /^(\d+|[A-Z]{1,2}\d{1,2})$/;

/** By net: the ways on from it. `live` tells the nets that are a rail's. */
export function feedHops(board: Board, live: ReadonlySet<number>): readonly (readonly Hop[])[] {
  const hops: Hop[][] = board.nets.map(() => []);
  const wound = netsOf(board, ['inductor', 'transformer', 'bead']);
  const anodes = anodeNets(board);
  const add = (from: Pin | undefined, to: Pin | undefined, part: Part, kind: HopKind): void => {
    if (from === undefined || to === undefined || from.net === to.net) return;
    hops[from.net]?.push({ to: to.net, part: part.index, kind });
  };
  for (const part of board.parts) {
    const pins = part.pins.flatMap((pin) => board.pins[pin] ?? []);
    const both = (a: Pin | undefined, b: Pin | undefined, kind: HopKind): void => {
      add(a, b, part, kind);
      add(b, a, part, kind);
    };
    const series = seriesKind(part);
    if (series !== undefined) both(pins[0], pins[1], series);
    else if (part.kind.name === 'switch')
      for (const pin of pins.slice(1)) both(pins[0], pin, 'link');
    else if (part.kind.name === 'transformer') transformerHops(part, pins, both);
    else if (part.kind.name === 'regulator')
      add(named(pins, 'IN'), named(pins, 'OUT'), part, 'regulator');
    else if (part.kind.name === 'ic') {
      for (const [from, to, kind] of icHops(pins, { live, wound, anodes }))
        add(from, to, part, kind);
    } else for (const [a, b] of channels(pins)) both(a, b, 'transistor');
    for (const [from, to] of rectifying(part)) {
      const kind = part.kind.name === 'bridge-rectifier' ? 'rectifier' : 'diode';
      add(named(pins, from), named(pins, to), part, kind);
    }
  }
  return hops;
}

/** Nets joined to these by links of next to no resistance; windings and chokes do not count. */
export function closelyJoined(board: Board, nets: Iterable<number>): Set<number> {
  const joined = new Set(nets);
  const links = board.parts.filter(
    (part) => seriesKind(part) === 'link' && !isCoil(part) && part.pins.length === 2,
  );
  for (let before = -1; before < joined.size; ) {
    before = joined.size;
    for (const part of links) {
      const [a, b] = part.pins.map((pin) => board.pins[pin]?.net ?? -1);
      if (a === undefined || b === undefined) continue;
      if (joined.has(a)) joined.add(b);
      else if (joined.has(b)) joined.add(a);
    }
  }
  return joined;
}

export function isCoil({ kind }: Part): boolean {
  return kind.name === 'inductor';
}

function named(pins: readonly Pin[], name: string): Pin | undefined {
  return pins.find((pin) => pin.name === name);
}

function seriesKind({ kind, ohms, pins }: Part): HopKind | undefined {
  if (pins.length < 2) return undefined;
  if (LINKS.has(kind.name)) return 'link';
  if (kind.name === 'thermistor' && (ohms ?? Number.POSITIVE_INFINITY) <= INRUSH_OHMS)
    return 'link';
  if (kind.name !== 'resistor' || ohms === undefined || ohms > MOST_START_UP_OHMS) return undefined;
  return ohms <= LINK_OHMS ? 'link' : 'resistor';
}

/** True for a resistor through which a rail is only started or pulled up, not fed. */
export function isTrickle({ kind, ohms }: Part): boolean {
  return kind.name === 'resistor' && (ohms ?? 0) > SERIES_OHMS;
}

function transformerHops(
  part: Part,
  pins: readonly Pin[],
  both: (a: Pin, b: Pin, kind: HopKind) => void,
): void {
  const winding = new Map<number, string>();
  for (const { name, pins: ends } of part.windings) for (const pin of ends) winding.set(pin, name);
  pins.forEach((a, k) => {
    for (const b of pins.slice(k + 1)) {
      const own = winding.get(a.index);
      both(a, b, own !== undefined && own === winding.get(b.index) ? 'winding' : 'transformer');
    }
  });
}

interface Around {
  readonly live: ReadonlySet<number>;
  readonly wound: ReadonlySet<number>;
  readonly anodes: ReadonlySet<number>;
}

/** From each supply pin of an IC to the pins that look like outputs of a supply. */
function icHops(pins: readonly Pin[], { live, wound, anodes }: Around): [Pin, Pin, HopKind][] {
  const outputs = pins.filter(({ name, net }) => {
    if (live.has(net)) return OUTPUT_PIN.test(name);
    const isOutput = OUTPUT_PIN.test(name);
    return wound.has(net) ? isOutput || PLACE_ONLY.test(name) : isOutput && anodes.has(net);
  });
  const supplies = pins.filter(
    (pin) => !outputs.includes(pin) && (live.has(pin.net) || SUPPLY_PIN.test(pin.name)),
  );
  const found = supplies.flatMap((from) =>
    outputs.map((to): [Pin, Pin, HopKind] => [
      from,
      to,
      live.has(to.net) ? 'regulator' : 'converter',
    ]),
  );
  if (found.length > 0 || pins.length > LEGS_OF_A_SMALL_IC) return found;
  // A small IC on two rails, its pins only numbered: one of them comes from the other.
  const onRails = pins.filter(({ net }) => live.has(net)).map((pin) => [pin.net, pin] as const);
  const [a, b, ...more] = [...new Map(onRails).values()];
  if (a === undefined || b === undefined || more.length > 0) return [];
  if (!PLACE_ONLY.test(a.name) || !PLACE_ONLY.test(b.name)) return [];
  return [
    [a, b, 'regulator'],
    [b, a, 'regulator'],
  ];
}

function channels(pins: readonly Pin[]): [Pin, Pin][] {
  const ends: readonly (readonly [string, string])[] = [
    ['D', 'S'],
    ['C', 'E'],
    ['T1', 'T2'],
  ];
  return ends.flatMap(([first, second]): [Pin, Pin][] => {
    const [a, b] = [named(pins, first), named(pins, second)];
    return a === undefined || b === undefined ? [] : [[a, b]];
  });
}

/** Pin names from anode to cathode of parts that rectify. */
function rectifying({ kind }: Part): (readonly [string, string])[] {
  if (NO_RECTIFIER.test(kind.name)) return [];
  return kind.healthy.flatMap((spec) =>
    spec.element === 'junction' && typeof spec.volts === 'number'
      ? [[spec.from, spec.to] as const]
      : [],
  );
}

function netsOf(board: Board, kinds: readonly string[]): Set<number> {
  const parts = board.parts.filter(({ kind }) => kinds.includes(kind.name));
  return new Set(parts.flatMap(({ pins }) => pins.map((pin) => board.pins[pin]?.net ?? -1)));
}

function anodeNets(board: Board): Set<number> {
  const nets = board.parts.flatMap((part) =>
    rectifying(part).flatMap(([from]) =>
      part.pins.flatMap((pin) =>
        board.pins[pin]?.name === from ? [board.pins[pin]?.net ?? -1] : [],
      ),
    ),
  );
  return new Set(nets);
}
