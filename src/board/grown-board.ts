import { catalogue } from './catalogue.ts';
import { type End, type Growth, type Is, isUnseen, unseenNet, VALUE_KEYS } from './growth.ts';
import type { Board, Kind, Net, Part, Pin } from './model.ts';
import { formatQuantity } from './units.ts';

/**
 * The board with what was seen of it put in, in the order it was said. What the file has keeps its
 * numbers; new parts, pins and nets follow behind. What the board has already changes nothing, so the
 * same statements may be put in again once the file holds them.
 * @returns `board` itself when nothing changes; else a copy, linear in the board's size
 */
export function grownBoard(board: Board, growths: readonly Growth[]): Board {
  if (growths.length === 0) return board;
  const growing = new Growing(board, settledParts(board, growths));
  for (const growth of growths) growing.apply(growth);
  return growing.isChanged ? growing.board() : board;
}

/** Parts that are already of the kind they were last said to be: what they were taken for before is past. */
function settledParts(board: Board, growths: readonly Growth[]): ReadonlySet<string> {
  const last = new Map<string, string>();
  for (const growth of growths) {
    if (growth.do === 'joins') last.set(growth.part, 'jumper');
    if (growth.do === 'is' && growth.kind !== undefined) last.set(growth.part, growth.kind);
  }
  const settled = [...last].filter(([part, kind]) => board.partNamed.get(part)?.kind.name === kind);
  return new Set(settled.map(([part]) => part));
}

/** Kinds that a statement may name: the catalogue's, and those of parts the board has. */
export function kindsOn(board: Board): ReadonlyMap<string, Kind> {
  return new Map([...catalogue(), ...board.parts.map(({ kind }) => [kind.name, kind] as const)]);
}

const WAY_ROUND = 'which way round';

interface GrowingNet {
  readonly name: string;
  readonly points: readonly string[];
  readonly line: number;
}

class Growing {
  isChanged = false;
  readonly #before: Board;
  readonly #parts: Part[];
  readonly #pins: Pin[];
  readonly #nets: GrowingNet[];
  readonly #netNumbers: Map<string, number>;
  readonly #partNumbers: Map<string, number>;

  readonly #settled: ReadonlySet<string>;

  constructor(board: Board, settled: ReadonlySet<string>) {
    this.#settled = settled;
    this.#before = board;
    this.#parts = [...board.parts];
    this.#pins = [...board.pins];
    this.#nets = board.nets.map(({ name, points, line }) => ({ name, points, line }));
    this.#netNumbers = new Map(board.nets.map(({ name, index }) => [name, index]));
    this.#partNumbers = new Map(board.parts.map(({ name, index }) => [name, index]));
  }

  apply(growth: Growth): void {
    if (growth.do === 'joins') this.#join(growth.part, growth.ends);
    else if (growth.do === 'is') this.#tell(growth);
    else this.#lead(growth.part, growth.pin, growth.to);
  }

  /** Nets that were only passing, as a pin of them was followed since, are left out again. */
  board(): Board {
    const on: number[][] = this.#nets.map(() => []);
    for (const pin of this.#pins) on[pin.net]?.push(pin.index);
    const kept = this.#nets.flatMap((_, net) =>
      net < this.#before.nets.length || (on[net]?.length ?? 0) > 0 ? [net] : [],
    );
    const numbers = new Map(kept.map((net, index) => [net, index]));
    const pins = this.#pins.map((pin) => ({ ...pin, net: numbers.get(pin.net) ?? pin.net }));
    const nets: Net[] = kept.map((net, index) => ({
      index,
      name: this.#nets[net]?.name ?? '',
      pins: on[net] ?? [],
      points: this.#nets[net]?.points ?? [],
      line: this.#nets[net]?.line ?? 1,
    }));
    return {
      ...this.#before,
      parts: this.#parts,
      pins,
      nets,
      partNamed: new Map(this.#parts.map((part) => [part.name, part])),
      netNamed: new Map(nets.map((net) => [net.name, net])),
    };
  }

  #join(name: string, ends: readonly [End, End]): void {
    const [a, b] = [this.#netNumber(ends[0].net), this.#netNumber(ends[1].net)];
    const jumper = kindsOn(this.#before).get('jumper');
    let part = this.#part(name);
    if (part === undefined) {
      if (jumper !== undefined) this.#add(name, jumper, [a, b]);
      return;
    }
    if (!part.kind.link && jumper !== undefined && !this.#settled.has(name))
      part = this.#turnInto(part, jumper);
    const [first = -1, second = -1] = part.pins;
    const [one, other] = [this.#pins[first]?.net, this.#pins[second]?.net];
    // It has no sense of its own: the other way round is the same link.
    if (one === b && other === a) return;
    this.#move(first, a);
    this.#move(second, b);
  }

  #lead(name: string, pinName: string, to: End): void {
    const part = this.#part(name);
    if (part === undefined) return;
    const net = this.#netNumber(to.net);
    const pin = pinOf(this.#pins, part, pinName);
    // What was said to sit with it while nobody had followed it comes along.
    this.#merge(unseenNet(name, pinName), net);
    if (pin !== undefined) this.#move(pin.index, net);
    else if (part.kind.pins.length === 0) this.#addPin(part.index, pinName, net);
  }

  #tell(growth: Is): void {
    const kinds = kindsOn(this.#before);
    const kind = growth.kind === undefined ? undefined : kinds.get(growth.kind);
    let part = this.#part(growth.part);
    if (part === undefined) {
      if (kind === undefined) return;
      part = this.#add(growth.part, kind, []);
    } else if (
      kind !== undefined &&
      kind.name !== part.kind.name &&
      !this.#settled.has(part.name)
    ) {
      part = this.#turnInto(part, kind);
    }
    this.#describe(part, growth, kind);
  }

  #describe(part: Part, growth: Is, kind: Kind | undefined): void {
    const told: {
      ohms?: number;
      farads?: number;
      henries?: number;
      volts?: number;
      text?: string;
    } = {};
    for (const key of VALUE_KEYS) {
      const value = growth[key];
      if (value !== undefined && part[key] !== value && takes(part.kind, key)) told[key] = value;
    }
    if (growth.text !== undefined && growth.text !== part.text) told.text = growth.text;
    // What was seen to be so is no guess any more; which pin is which was not looked at.
    const guesses = part.guesses.filter((guess) => /\b(pins?|way round)\b/i.test(guess));
    const isSettled = kind !== undefined || Object.keys(told).length > 0;
    const settled = isSettled && guesses.length < part.guesses.length ? { guesses } : {};
    this.#replace(part.index, { ...told, ...settled });
  }

  #turnInto(part: Part, kind: Kind): Part {
    const names = part.pins.map((pin) => this.#pins[pin]?.name ?? '');
    const own = names.map((name) =>
      kind.pins.length === 0 || kind.pins.includes(name) ? name : kind.pinAliases.get(name),
    );
    const isNamed = own.every((name) => name !== undefined) && new Set(own).size === own.length;
    const named = isNamed ? own : names.map((_, i) => kind.pins[i]);
    part.pins.forEach((pin, i) => {
      const before = this.#pins[pin];
      const name = named[i];
      if (before !== undefined && name !== undefined) this.#pins[pin] = { ...before, name };
    });
    const isSure = isNamed || kind.symmetric || kind.pins.length === 0;
    const known = part.guesses.filter((guess) => guess !== WAY_ROUND);
    const guesses = isSure ? known : [...known, WAY_ROUND];
    const { ohms, farads, henries, ...rest } = part;
    const kept = {
      ...(ohms !== undefined && takesOhms(kind) ? { ohms } : {}),
      ...(farads !== undefined && kind.value === 'farads' ? { farads } : {}),
      ...(henries !== undefined && kind.value === 'henries' ? { henries } : {}),
    };
    this.#parts[part.index] = { ...rest, ...kept, kind, guesses };
    this.isChanged = true;
    for (const name of kind.pins) {
      if (!named.includes(name)) {
        this.#addPin(part.index, name, this.#netNumber(unseenNet(part.name, name)));
      }
    }
    return this.#parts[part.index] ?? part;
  }

  /** A new part; pins without a net get one of their own. */
  #add(name: string, kind: Kind, nets: readonly number[]): Part {
    const index = this.#parts.length;
    this.#parts.push({
      index,
      name,
      kind,
      pins: [],
      windings: [],
      failsFirst: false,
      guesses: [],
      line: 1,
    });
    this.#partNumbers.set(name, index);
    this.isChanged = true;
    kind.pins.forEach((pin, i) => {
      this.#addPin(index, pin, nets[i] ?? this.#netNumber(unseenNet(name, pin)));
    });
    return this.#parts[index] as Part;
  }

  #addPin(part: number, name: string, net: number): void {
    const index = this.#pins.length;
    this.#pins.push({ index, part, name, net });
    const pins = this.#parts[part]?.pins ?? [];
    this.#replace(part, { pins: [...pins, index] });
    this.isChanged = true;
  }

  #move(pin: number, net: number): void {
    const before = this.#pins[pin];
    if (before === undefined || before.net === net) return;
    this.#pins[pin] = { ...before, net };
    this.isChanged = true;
  }

  #merge(from: string, net: number): void {
    const old = this.#netNumbers.get(from);
    if (old === undefined || old === net) return;
    for (const pin of this.#pins) if (pin.net === old) this.#move(pin.index, net);
  }

  #replace(index: number, facts: Partial<Part>): void {
    const part = this.#parts[index];
    if (part === undefined || Object.keys(facts).length === 0) return;
    this.#parts[index] = { ...part, ...facts };
    this.isChanged = true;
  }

  #part(name: string): Part | undefined {
    return this.#parts[this.#partNumbers.get(name) ?? -1];
  }

  #netNumber(name: string): number {
    const known = this.#netNumbers.get(name);
    if (known !== undefined) return known;
    const index = this.#nets.length;
    this.#nets.push({ name, points: [], line: 1 });
    this.#netNumbers.set(name, index);
    return index;
  }
}

function pinOf(pins: readonly Pin[], part: Part, name: string): Pin | undefined {
  const own = part.pins.flatMap((pin) => pins[pin] ?? []);
  const alias = part.kind.pinAliases.get(name);
  return own.find((pin) => pin.name === name) ?? own.find((pin) => pin.name === alias);
}

/** Whether parts of a kind carry a value. */
export function takes(kind: Kind, key: (typeof VALUE_KEYS)[number]): boolean {
  if (key === 'volts') return true;
  return key === 'ohms' ? takesOhms(kind) : kind.value === key;
}

/** Whether parts of a kind carry ohms. */
export function takesOhms(kind: Kind): boolean {
  const usesValue = kind.healthy.some(
    (each) => each.element === 'resistance' && each.ohms === 'value',
  );
  return kind.value === 'ohms' || usesValue;
}

/** What keeps a statement from being true of a board as it is, unless the board is wrong there. */
export function contradiction(board: Board, growth: Growth): string | undefined {
  const part = board.partNamed.get(growth.part);
  if (part === undefined || growth.instead) return undefined;
  if (growth.do === 'goes') return pinElsewhere(board, part, growth.pin, growth.to);
  if (growth.do === 'joins') {
    if (!part.kind.link) return `${part.name} is a ${part.kind.title}`;
    const nets = part.pins.map((pin) => board.pins[pin]?.net);
    const ends = growth.ends.map((end) => board.netNamed.get(end.net)?.index);
    const isSame = ends.every((net) => net !== undefined && nets.includes(net));
    return isSame
      ? undefined
      : `${part.name} joins ${nets.map((net) => board.nets[net ?? -1]?.name).join(' and ')}`;
  }
  return otherwise(part, growth);
}

function pinElsewhere(board: Board, part: Part, name: string, to: End): string | undefined {
  const pin = pinOf(board.pins, part, name);
  const net = board.nets[pin?.net ?? -1];
  if (pin === undefined || net === undefined || isUnseen(net.name)) return undefined;
  return to.net === net.name ? undefined : `${part.name}.${pin.name} is on ${net.name}`;
}

/** A kind or value that is only guessed may be told without further ado. */
function otherwise(part: Part, growth: Is): string | undefined {
  const isGuess = part.guesses.length > 0 || part.kind.name === 'unknown';
  if (isGuess) return undefined;
  if (growth.kind !== undefined && growth.kind !== part.kind.name) {
    return `${part.name} is a ${part.kind.title}`;
  }
  const key = VALUE_KEYS.find(
    (each) => growth[each] !== undefined && part[each] !== undefined && growth[each] !== part[each],
  );
  return key === undefined
    ? undefined
    : `${part.name} has ${formatQuantity(part[key] ?? 0, UNITS[key])}`;
}

const UNITS = { ohms: 'Ω', farads: 'F', henries: 'H', volts: 'V' } as const;
