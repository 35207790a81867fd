import { type Junction, JunctionNetwork } from './junction-network.ts';
import type { Network } from './network.ts';

/** A resistor network and the junctions on it. */
export interface Lit<J extends Junction = Junction> {
  readonly network: Network;
  readonly junctions: readonly J[];
  /** Both as one circuit, made when first asked for. */
  lit(): JunctionNetwork;
}

/** Puts junctions on a network. */
export function withJunctions<J extends Junction>(
  network: Network,
  junctions: readonly J[],
): Lit<J> {
  let held: JunctionNetwork | undefined;
  return {
    network,
    junctions,
    lit: () => {
      held ??= new JunctionNetwork(network, junctions);
      return held;
    },
  };
}
