import { Network } from '../circuit/network.ts';
import type { Workbench } from './advise.ts';

/** Ω between two pins of a healthy part lying on the bench; junctions are not counted. */
export function healthyLegOhms({ bench }: Workbench, part: number, a: number, b: number): number {
  const pins = bench.circuit.board.parts[part]?.pins ?? [];
  const place = (pin: number): number => pins.indexOf(pin);
  if (place(a) < 0 || place(b) < 0) return Number.POSITIVE_INFINITY;
  const healthy = bench.circuit.models[part]?.healthy ?? [];
  const branches = healthy.map((one) => ({ a: place(one.a), b: place(one.b), ohms: one.ohms }));
  return new Network(pins.length, branches).resistanceOnce(place(a), place(b));
}
