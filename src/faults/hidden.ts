import type { View } from '../circuit/circuit.ts';
import type { Prediction } from '../circuit/likelihood.ts';
import type { Chances } from './chances.ts';
import { opensOfBranch, pathThrough } from './cut.ts';
import type { NearShorts, Spoiler } from './near-shorts.ts';
import { type Observation, wantedChange } from './observation.ts';
import type { Explanation, Problem } from './problem.ts';
import { Ratios } from './ratios.ts';
import { predict, type World, Worlds } from './world.ts';

/**
 * Undecided faults that would, each on its own, spoil what an explanation explains: a short across
 * two points that read quiet, an open in the only way between two that beep. Two undecided faults
 * that only together would spoil it are not counted; their chance is the product of two small ones.
 */
export class HiddenFaults {
  readonly #problem: Problem;
  readonly #near: NearShorts;
  readonly #only = new Map<View, Map<number, readonly Spoiler[]>>();
  /** The board without faults. */
  readonly #plain: Worlds;
  readonly #ratios: Ratios;

  constructor(problem: Problem, near: NearShorts) {
    this.#problem = problem;
    this.#near = near;
    this.#plain = new Worlds(problem.circuit, problem.universe, []);
    this.#ratios = new Ratios(problem.universe.faults.length, problem.workspace);
  }

  /** Gives back what was borrowed; no ratios are to be had after that. */
  release(): void {
    this.#ratios.release();
  }

  /**
   * What each fault that would spoil something does to the fit; holds until the next call.
   * @param chances with the decisions of the explanation
   */
  ratios(explanation: Explanation, chances: Chances): Ratios {
    const { universe, states } = this.#problem;
    const ratios = this.#ratios;
    ratios.clear();
    const decidesJoint = explanation.faults.some((id) => universe.faults[id]?.what === 'joint');
    this.#go(explanation, chances, ({ id, open }, observation, spoilt) => {
      const fit = explanation.fits[observation.index] as number;
      const hidden = decidesJoint
        ? states.at(observation).keptApart(id, (joint) => chances.of(joint))
        : open;
      const left = hidden + (1 - hidden) * Math.min(1, spoilt / fit);
      ratios.set(id, ratios.get(id) * left);
    });
    for (const [id, ratio] of explanation.ratios ?? [])
      if (chances.isFree(id)) ratios.set(id, ratio);
    return ratios;
  }

  /** By fault: observations that speak against it. */
  against(explanation: Explanation, chances: Chances): Map<number, number[]> {
    const against = new Map<number, number[]>();
    this.#go(explanation, chances, ({ id }, { index }) => {
      const held = against.get(id);
      if (held === undefined) against.set(id, [index]);
      else held.push(index);
    });
    return against;
  }

  #go(
    explanation: Explanation,
    chances: Chances,
    note: (one: Spoiler, observation: Observation, spoilt: number) => void,
  ): void {
    const { circuit, universe, observations } = this.#problem;
    const worlds = new Worlds(circuit, universe, explanation.faults);
    for (const observation of observations) {
      const fit = explanation.fits[observation.index] as number;
      if (fit <= 2 * observation.floor) continue;
      const world = worlds.of(observation);
      const noteAll = (found: readonly Spoiler[], spoilt: number): void => {
        for (const one of found) if (chances.isFree(one.id)) note(one, observation, spoilt);
      };
      const isShortable = this.#near.canSpoil(observation);
      if (isShortable) noteAll(this.#near.of(observation, world), observation.shortFit);
      // A number in ohms is spoilt by less and by more, a beep or a silence one way only.
      if (!isShortable || isOhms(observation)) {
        noteAll(this.#opens(observation, world), observation.openFit);
      }
    }
  }

  /** Opens that alone would silence a reading that the healthy parts explain which are not open. */
  #opens(observation: Observation, { view }: World): readonly Spoiler[] {
    let known = this.#only.get(view);
    if (known === undefined) {
      known = new Map();
      this.#only.set(view, known);
    }
    const held = known.get(observation.index);
    if (held !== undefined) return held;
    const { universe, meter } = this.#problem;
    const { a, b } = observation;
    const world: World = { ...this.#plain.of(observation), view };
    const bare: Prediction = predict(world, a, b);
    const ids: number[] = [];
    if (
      bare.ohms < Number.POSITIVE_INFINITY &&
      a !== b &&
      (isOhms(observation) || wantedChange(observation, bare, meter).limit > bare.ohms)
    ) {
      for (const branch of pathThrough(world, a, b)?.branches ?? []) {
        const {
          a: u,
          b: v,
          ohms,
        } = world.view.network.branches[branch] as { a: number; b: number; ohms: number };
        const isOnlyWay = world.view.network.resistance(u, v) > ohms * (1 - 1e-6);
        if (isOnlyWay) ids.push(...opensOfBranch(world, universe, branch));
      }
    } else if (a === b) {
      for (const fault of universe.faults)
        if (fault.what === 'copper' && fault.nets?.[0] === a) ids.push(fault.id);
    }
    const here = this.#problem.states.at(observation);
    const found = ids
      .filter((id) => here.acts[id] === 1)
      .map((id) => ({ id, open: here.keptApart(id) }));
    known.set(observation.index, found);
    return found;
  }
}

function isOhms({ entries }: Observation): boolean {
  return entries.some(({ value }) => value.kind === 'ohms');
}
