/** Names of parts and nets, from the names in a deck. */

/** Letters of transistors, whose lines in a deck begin with another letter. */
const TRANSISTORS = /^[MJZ](Q|T|TR|V|VT)\d+[A-Z]?$/i;

/**
 * The designator within the name of an element, which must begin with the letter of its kind:
 * `XU1` and `MQ3` stand for U1 and Q3, and `RR4` for R4.
 */
export function designatorIn(name: string): string {
  const rest = name.slice(1);
  const isCall = /^X[A-Z]{1,4}\d+[A-Z]?$/i.test(name);
  const isDoubled = /^([A-Z])\1\d+[A-Z]?$/i.test(name);
  return isCall || isDoubled || TRANSISTORS.test(name) ? rest : name;
}

/** Nets by their names, upper and lower case alike; the first spelling is kept. */
export class Nets {
  readonly #shown = new Map<string, string>();
  readonly #globals: ReadonlySet<string>;

  constructor(globals: ReadonlySet<string>) {
    this.#globals = globals;
  }

  /** The net of a node: `0` and `GND` are ground. */
  net(node: string): string {
    const key = node.toUpperCase();
    if (isGroundNode(key)) return 'GND';
    const known = this.#shown.get(key);
    if (known !== undefined) return known;
    this.#shown.set(key, node);
    return node;
  }

  /** True for a node that means the same net within every subcircuit. */
  isGlobal(node: string): boolean {
    const key = node.toUpperCase();
    return isGroundNode(key) || this.#globals.has(key);
  }
}

/** `00` is another node. */
function isGroundNode(key: string): boolean {
  return key === '0' || key === 'GND';
}
