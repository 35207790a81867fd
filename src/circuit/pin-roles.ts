import type { Board, Part } from '../board/model.ts';

/** Board-wide pin numbers of one part by their names. */
export interface PinNames {
  get(name: string): number | undefined;
}

const SUPPLY_NAME = /^(V(CC|DD|IN|BAT|BUS|S|\+)\w*|AVCC|AVDD|IN|\+)$/i;
const GROUND_NAME = /^(GND\w*|VSS\w*|AGND|DGND|PGND|VEE|V-|-|EP|PAD)$/i;

/** Which pins of a part stand for `@supply`, `@ground` and `@each`. Rails decide, then pin names. */
export class PinRoles {
  readonly #board: Board;
  readonly #nearNet: Int32Array;
  readonly #plus: ReadonlySet<number>;
  readonly #minus: ReadonlySet<number>;
  // Roles of the part asked about last: its modes ask one after the other.
  #last: Part | undefined;
  readonly #held = new Map<string, readonly number[]>();

  /** @param nearNet by net: the same number for nets joined by hardly any resistance */
  constructor(board: Board, nearNet: Int32Array) {
    this.#board = board;
    this.#nearNet = nearNet;
    this.#plus = new Set(board.rails.map((rail) => rail.plus));
    this.#minus = new Set(board.rails.map((rail) => rail.minus));
  }

  /** Pins of a role; none when nothing tells which they are. */
  pins(part: Part, role: string): readonly number[] {
    if (part !== this.#last) {
      this.#last = part;
      this.#held.clear();
    }
    let pins = this.#held.get(role);
    if (pins === undefined) {
      pins = this.#find(part, role);
      this.#held.set(role, pins);
    }
    return pins;
  }

  /** The pin of a role whose net takes most pins of the part, the first of equals. */
  mainPin(part: Part, role: string): number | undefined {
    const counts = new Map<number, { pin: number; count: number }>();
    for (const pin of this.pins(part, role)) {
      const entry = counts.get(this.#net(pin)) ?? { pin, count: 0 };
      entry.count++;
      counts.set(this.#net(pin), entry);
    }
    let main: { pin: number; count: number } | undefined;
    for (const entry of counts.values()) {
      if (main === undefined || entry.count > main.count) main = entry;
    }
    return main?.pin;
  }

  /** True when the grounds of a part are not joined on the board, as on both sides of a barrier. */
  hasSides(part: Part): boolean {
    const grounds = this.pins(part, '@ground').map((pin) => this.#nearNet[this.#net(pin)]);
    return new Set(grounds).size > 1;
  }

  /** True when two pins are on the two nets of one rail. */
  areOneRail(ground: number, supply: number): boolean {
    return this.#board.rails.some(
      ({ plus, minus }) => plus === this.#net(supply) && minus === this.#net(ground),
    );
  }

  #net(pin: number): number {
    return this.#board.pins[pin]?.net ?? -1;
  }

  #find(part: Part, role: string): readonly number[] {
    const ground = this.#ground(part);
    const supply = this.#supply(part).filter((pin) => !ground.includes(pin));
    if (role === '@ground') return ground;
    if (role === '@supply') return supply;
    if (role === '@each') {
      return part.pins.filter((pin) => !ground.includes(pin) && !supply.includes(pin));
    }
    return [];
  }

  #ground(part: Part): number[] {
    const byRail = part.pins.filter((pin) => this.#minus.has(this.#net(pin)));
    if (byRail.length > 0) return byRail;
    return part.pins.filter((pin) => GROUND_NAME.test(this.#board.pins[pin]?.name ?? ''));
  }

  #supply(part: Part): number[] {
    const byRail = part.pins.filter((pin) => this.#plus.has(this.#net(pin)));
    if (byRail.length > 0) return byRail;
    return part.pins.filter((pin) => SUPPLY_NAME.test(this.#board.pins[pin]?.name ?? ''));
  }
}
