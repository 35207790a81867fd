import { easiestWay } from '../circuit/conduction.ts';
import { AS_FOUND } from '../circuit/state.ts';
import type { Workbench } from './advise.ts';
import type { WayLink } from './explain-pair.ts';

/** The way of least resistance that a healthy board has between two nets; empty where it has none. */
export function healthyWay({ bench }: Workbench, a: number, b: number): WayLink[] {
  const { circuit } = bench;
  const view = circuit.view(AS_FOUND);
  const { branches } = view.network;
  let at = a;
  return (easiestWay(view, [], a, b)?.branches ?? []).flatMap((k): WayLink[] => {
    const branch = branches[k];
    const element = circuit.elements[view.elementOf[k] ?? -1];
    if (branch === undefined || element === undefined) return [];
    const from = at;
    at = branch.a === from ? branch.b : branch.a;
    return [{ what: 'healthy', parts: [element.part], from, to: at, ohms: branch.ohms, weight: 1 }];
  });
}
