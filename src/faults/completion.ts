import type { Circuit } from '../circuit/circuit.ts';
import type { Lead } from './cut.ts';
import type { Fault } from './fault.ts';
import { Heap } from './heap.ts';
import type { Observation } from './observation.ts';
import type { States } from './state-faults.ts';
import type { Universe } from './universe.ts';

/**
 * How likely the rest of an explanation can be at best, once one short has been chosen: the
 * likeliest chain of further shorts from where it leads to the far point. Chains pass through
 * healthy elements below the limit for nothing, and bank mates count with their chance in a common
 * failure. It only orders the search; what may be left out is bounded by other means.
 */
export class Completion {
  readonly #circuit: Circuit;
  readonly #universe: Universe;
  readonly #states: States;
  readonly #fields = new Map<string, Float64Array>();

  constructor(circuit: Circuit, universe: Universe, states: States) {
    this.#circuit = circuit;
    this.#universe = universe;
    this.#states = states;
  }

  chance(candidate: Lead, observation: Observation, farPoint: number, limit: number): number {
    if (candidate.direct || candidate.to.length === 0) return 1;
    const field = this.#field(observation, farPoint, limit);
    let best = 0;
    for (const net of candidate.to) best = Math.max(best, field[net] as number);
    return best;
  }

  /** By net: chance of the likeliest chain of shorts to `target`. */
  #field(observation: Observation, target: number, limit: number): Float64Array {
    const key = `${observation.stateKey}/${target}/${Math.round(Math.log(limit + 1) * 4)}`;
    let field = this.#fields.get(key);
    if (field === undefined) {
      field = this.#spread(observation, target, limit);
      this.#fields.set(key, field);
    }
    return field;
  }

  #spread(observation: Observation, target: number, limit: number): Float64Array {
    const view = this.#circuit.view(observation.state);
    const { acts } = this.#states.at(observation);
    const field = new Float64Array(this.#circuit.board.nets.length);
    const heap = new Heap<number>();
    const offer = (net: number, chance: number): void => {
      if (chance <= (field[net] as number)) return;
      field[net] = chance;
      heap.push(chance, net);
    };
    offer(target, 1);
    for (let net = heap.pop(); net !== undefined; net = heap.pop()) {
      const here = field[net] as number;
      for (const k of view.touching[net] ?? []) {
        const branch = view.network.branches[k];
        if (branch !== undefined && branch.ohms < limit)
          offer(branch.a === net ? branch.b : branch.a, here);
      }
      for (const id of this.#universe.byNet[net] ?? []) {
        if (acts[id] === 0) continue;
        const fault = this.#universe.faults[id] as Fault;
        const chance = here * Math.max(fault.chance[0], fault.bank >= 0 ? fault.chance[1] : 0);
        for (const { a, b } of fault.branches) {
          if (a === net) offer(b, chance);
          else if (b === net) offer(a, chance);
        }
      }
    }
    return field;
  }
}
