import type { Prediction } from '../circuit/likelihood.ts';
import { withJunctions } from '../circuit/lit.ts';
import { Network } from '../circuit/network.ts';
import type { PinJunction, PinResistance } from '../circuit/part-model.ts';
import { voltsAt } from '../circuit/sight.ts';

/** What conducts in a part. */
export interface Conducting {
  readonly resistances: readonly PinResistance[];
  readonly junctions: readonly PinJunction[];
}

/** A part off the board: its legs are the nodes. */
export class Legs {
  readonly #place: ReadonlyMap<number, number>;

  /** @param pins board-wide numbers of its pins */
  constructor(pins: readonly number[]) {
    this.#place = new Map(pins.map((pin, k) => [pin, k]));
  }

  /** What a meter would read between two legs. */
  predict(
    { resistances, junctions }: Conducting,
    redPin: number,
    blackPin: number,
    spread: number,
  ): Prediction {
    const at = (pin: number): number => this.#place.get(pin) ?? 0;
    const branches = resistances.map(({ a, b, ohms }) => ({ a: at(a), b: at(b), ohms }));
    const network = new Network(this.#place.size, branches);
    const view = withJunctions(network, () =>
      junctions.map((one) => ({ ...one, netA: at(one.anode), netK: at(one.cathode) })),
    );
    const [red, black] = [at(redPin), at(blackPin)];
    const ohms = network.resistance(red, black);
    return {
      ohms,
      spread: ohms < Number.POSITIVE_INFINITY ? spread : 0,
      through: (amps, ceiling) => voltsAt({ view, added: [], red, black }, amps, ceiling),
    };
  }
}
