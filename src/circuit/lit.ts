import { type Junction, JunctionNetwork } from './junction-network.ts';
import type { Network } from './network.ts';

/** A resistor network and the junctions on it. */
export interface Lit<J extends Junction = Junction> {
  readonly network: Network;
  readonly junctions: readonly J[];
  /** Both as one circuit, made when first asked for. */
  lit(): JunctionNetwork;
}

/** Puts junctions on a network, listed when first asked for. */
export function withJunctions<J extends Junction>(
  network: Network,
  junctionsOf: () => readonly J[],
): Lit<J> {
  let junctions: readonly J[] | undefined;
  let held: JunctionNetwork | undefined;
  return {
    network,
    get junctions() {
      junctions ??= junctionsOf();
      return junctions;
    },
    lit() {
      held ??= new JunctionNetwork(network, this.junctions);
      return held;
    },
  };
}
