/** Conductors between numbered nodes, solved by none of the engine's code. */
export class Conductors {
  constructor(count: number, edges: readonly (readonly [number, number, number])[]);
  ohms(from: number, to: number): number;
  volts(from: number, to: number, amps: number): Float64Array | undefined;
}
