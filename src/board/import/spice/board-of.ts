import { type Diagnostic, InputError } from '../../diagnostic.ts';
import { checkSize, type Feed, type Netlist, type NetlistPart } from '../netlist.ts';
import { counted, listed } from '../say.ts';
import { deviceReason } from './device-marks.ts';
import { calledBy, joinedBy } from './element-nodes.ts';
import { designatorIn, Nets } from './names.ts';
import { devicePart, elementPart, feedOf } from './parts.ts';
import type { Element, Scope } from './scope.ts';

/** Drawings within drawings; deeper ones are a circle. */
const DEEPEST_CALL = 20;

/** Makes the elements of a deck into parts of a board. */
export function boardOf(
  deck: Scope,
  globals: ReadonlySet<string>,
): Pick<Netlist, 'parts' | 'feeds' | 'warnings'> {
  return new BoardOfDeck(deck, globals).read();
}

/** Where a subcircuit is put in: what its parts are called by, and what its ports are joined to. */
interface Instance {
  readonly prefix: string;
  readonly ports: ReadonlyMap<string, string>;
  readonly depth: number;
  /** With the values this call gives. */
  readonly scope: Scope;
}

class BoardOfDeck {
  readonly #deck: Scope;
  readonly #nets: Nets;
  readonly #parts = new Map<string, NetlistPart>();
  readonly #names = new Set<string>();
  readonly #feeds: Feed[] = [];
  readonly #warnings: Diagnostic[] = [];
  /** By subcircuit, who calls it. */
  readonly #calls = new Map<Scope, string[]>();
  readonly #reasons = new Map<Scope, string | undefined>();
  readonly #undefinedCalls = new Map<string, string[]>();
  readonly #unread = new Map<string, Element[]>();
  readonly #coupled: Element[] = [];
  readonly #repeated: string[] = [];
  readonly #renamed: string[] = [];
  readonly #bodies: string[] = [];
  #pins = 0;

  constructor(deck: Scope, globals: ReadonlySet<string>) {
    this.#deck = deck;
    this.#nets = new Nets(globals);
  }

  read(): Pick<Netlist, 'parts' | 'feeds' | 'warnings'> {
    this.#gatherCalls(this.#deck);
    // Names of the deck itself go before those that are taken out of calls.
    for (const { name } of this.#deck.elements) this.#names.add(name.toUpperCase());
    this.#expand(this.#deck, { prefix: '', ports: new Map(), depth: 0, scope: this.#deck });
    this.#tellCoupled();
    this.#warnAtEnd();
    return { parts: [...this.#parts.values()], feeds: this.#feeds, warnings: this.#warnings };
  }

  #gatherCalls(scope: Scope): void {
    for (const element of scope.elements) {
      if (!/^x/i.test(element.name)) continue;
      const called = scope.subcircuit(calledBy(element).name);
      if (!called) continue;
      const calls = this.#calls.get(called);
      if (!calls) this.#calls.set(called, [element.name]);
      else if (calls.length < 1000) calls.push(element.name);
    }
    for (const inner of scope.subcircuits()) this.#gatherCalls(inner);
  }

  #expand(scope: Scope, within: Instance): void {
    const seen = new Map<string, Element>();
    for (const element of scope.elements) {
      const known = seen.get(element.name.toUpperCase());
      if (known && isSame(known, element)) this.#repeated.push(element.name);
      else this.#element(element, within);
      if (!known) seen.set(element.name.toUpperCase(), element);
    }
  }

  #element(element: Element, within: Instance): void {
    const letter = element.name.charAt(0).toUpperCase();
    if (letter === 'X') this.#call(element, within);
    else if (letter === 'K')
      this.#coupled.push({ ...element, words: this.#namesWithin(element, within) });
    else this.#part(element, within);
  }

  #part(element: Element, within: Instance): void {
    const joined = joinedBy(element, within.scope);
    if (!joined) {
      const letter = element.name.charAt(0).toUpperCase();
      this.#unread.set(letter, [...(this.#unread.get(letter) ?? []).slice(-20), element]);
      return;
    }
    const pins = joined.pins.map(([pin, node]) => [pin, this.#net(node, within)] as const);
    const name = this.#claim(element.name, within);
    const part = elementPart(element, { ...joined, pins }, within.scope.parameters);
    if (part.isBodyLeftOut) this.#bodies.push(name);
    this.#add({ ...part.facts, name, line: element.line });
    const feed = feedOf(name, pins, element, within.scope.parameters);
    if (feed) this.#feeds.push(feed);
  }

  #call(element: Element, within: Instance): void {
    const { nodes, name, sized } = calledBy(element);
    const nets = nodes.map((node) => this.#net(node, within));
    const called = within.scope.subcircuit(name);
    if (called && called.ports.length !== nodes.length)
      throw wrongCount(element, called, nodes.length);
    const reason = called && this.#reason(called);
    if (called && reason === undefined) {
      this.#putIn(called, { element, nets, sized }, within);
      return;
    }
    if (!called) {
      this.#undefinedCalls.set(name, [
        ...(this.#undefinedCalls.get(name) ?? []).slice(-20),
        element.name,
      ]);
    }
    const ports = called?.ports ?? nodes.map((_, at) => String(at + 1));
    const part = devicePart(name, element.name, ports, nets, called !== undefined);
    this.#add({ ...part, name: this.#claim(element.name, within), line: element.line });
  }

  #putIn(
    called: Scope,
    {
      element,
      nets,
      sized,
    }: { element: Element; nets: readonly string[]; sized: readonly string[] },
    within: Instance,
  ): void {
    if (within.depth >= DEEPEST_CALL) throw tooDeep(element);
    const ports = new Map(called.ports.map((port, at) => [port.toUpperCase(), nets[at] ?? '']));
    const own = designatorIn(element.name);
    const prefix = `${within.prefix}${own}_`;
    // A drawing without parameters has nothing that a call could set.
    if (sized.length > 0) {
      this.#warn(
        'CALL_SETS',
        `${element.name} sets ${sized.join(' ')}, which ${called.name} does not have`,
        element,
      );
    }
    this.#expand(called, { prefix, ports, depth: within.depth + 1, scope: called });
  }

  #reason(scope: Scope): string | undefined {
    if (!this.#reasons.has(scope)) {
      this.#reasons.set(scope, deviceReason(scope, this.#calls.get(scope) ?? []));
    }
    return this.#reasons.get(scope);
  }

  #net(node: string, within: Instance): string {
    if (within.prefix === '' || this.#nets.isGlobal(node)) return this.#nets.net(node);
    const port = within.ports.get(node.toUpperCase());
    return port ?? this.#nets.net(`${within.prefix.replace(/_$/, '')}/${node}`);
  }

  #namesWithin(element: Element, within: Instance): string[] {
    return element.words.map((word) => within.prefix + word);
  }

  /** A name for a part: the designator within it where that is free. */
  #claim(written: string, within: Instance): string {
    const own = designatorIn(written);
    const isFree = own !== written && !this.#names.has((within.prefix + own).toUpperCase());
    let name = within.prefix + (isFree ? own : written);
    const wanted = name;
    for (let n = 2; this.#parts.has(name.toUpperCase()); n += 1) name = `${wanted}_${n}`;
    if (name !== wanted) this.#renamed.push(`${wanted} is now ${name}`);
    this.#names.add(name.toUpperCase());
    return name;
  }

  #add(part: NetlistPart): void {
    this.#pins += part.pins.length;
    checkSize(this.#deck.file, part.line, { parts: this.#parts.size, pins: this.#pins });
    this.#parts.set(part.name.toUpperCase(), part);
  }

  /** Windings of one transformer stand in a deck as inductors of their own. */
  #tellCoupled(): void {
    for (const { name, words } of this.#coupled) {
      const coils = words.flatMap((word) => this.#parts.get(word.toUpperCase()) ?? []);
      for (const coil of coils) {
        const others = coils.filter((each) => each !== coil).map((each) => each.name);
        if (others.length === 0) continue;
        const doubt = `${name} winds it with ${listed(others)}: one transformer on the board`;
        this.#parts.set(coil.name.toUpperCase(), {
          ...coil,
          doubts: [...(coil.doubts ?? []), doubt],
        });
      }
    }
  }

  #warnAtEnd(): void {
    for (const [scope, reason] of this.#reasons) this.#tellTaken(scope, reason);
    for (const [name, calls] of this.#undefinedCalls) {
      const message = `subcircuit ${name} is not in the deck: ${listed(calls)} taken as one part, pins by their order`;
      this.#warn('NO_SUBCIRCUIT', message);
    }
    for (const [letter, elements] of this.#unread) {
      const names = listed(elements.map(({ name }) => name));
      this.#warn(
        'UNREAD_ELEMENT',
        `elements with the letter ${letter} left out: ${names}`,
        elements[0],
      );
    }
    if (this.#repeated.length > 0) {
      this.#warn(
        'REPEATED',
        `${counted(this.#repeated.length, 'line')} repeated word for word, kept once: ${listed(this.#repeated)}`,
      );
    }
    if (this.#renamed.length > 0) {
      this.#warn('SAME_NAME', `names given to two parts: ${listed(this.#renamed)}`);
    }
    if (this.#bodies.length > 0) {
      this.#warn(
        'BODY_LEFT_OUT',
        `body or substrate left out, being no leg of a part: ${listed(this.#bodies)}`,
      );
    }
  }

  #tellTaken(scope: Scope, reason: string | undefined): void {
    const calls = this.#calls.get(scope) ?? [];
    const [first = ''] = calls;
    const place = { line: scope.line, file: scope.file };
    if (reason === undefined) {
      const message = `subcircuit ${scope.name}, called ${counted(calls.length, 'time')}, is taken as a piece of the board: its parts become ${designatorIn(first)}_… `;
      this.#warn('PIECE_OF_BOARD', message.trim(), place);
    } else if (scope.count > 1 && /models of its own|name of a part/.test(reason)) {
      const message = `subcircuit ${scope.name} is taken as one part: ${reason}`;
      this.#warn(
        'ONE_PART',
        message,
        place,
        'if it is a drawing of its own, move its .model lines out and call it X1',
      );
    }
  }

  #warn(code: string, message: string, at?: { line: number; file: string }, hint?: string): void {
    const { line = 1, file = this.#deck.file } = at ?? {};
    const place = { file, line, column: 1, endColumn: 2 };
    const base = { code, severity: 'warning' as const, message, place };
    this.#warnings.push(hint === undefined ? base : { ...base, hint });
  }
}

function isSame(a: Element, b: Element): boolean {
  return (
    a.words.length === b.words.length &&
    a.words.every((word, at) => word.toUpperCase() === b.words[at]?.toUpperCase())
  );
}

function wrongCount(element: Element, called: Scope, nodes: number): InputError {
  const where =
    called.file === element.file ? `line ${called.line}` : `${called.file}, line ${called.line}`;
  return refusal(
    'WRONG_NODES',
    `${element.name} joins ${counted(nodes, 'node')}, but subcircuit ${called.name} (${where}) has ${counted(called.ports.length, 'port')}`,
    element,
  );
}

function tooDeep(element: Element): InputError {
  return refusal(
    'CALLS_ITSELF',
    `${element.name} calls what calls it, ${DEEPEST_CALL} deep`,
    element,
  );
}

function refusal(code: string, message: string, { file, line, name }: Element): InputError {
  const place = { file, line, column: 1, endColumn: name.length + 1 };
  return new InputError([{ code, severity: 'error', message, place }]);
}
