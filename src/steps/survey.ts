import { netOf, type View } from '../circuit/circuit.ts';
import { reach } from '../circuit/conduction.ts';
import type { Branch } from '../circuit/network.ts';
import type { Probe } from '../circuit/reading.ts';
import { type BoardState, netPairKey, stateKey } from '../circuit/state.ts';
import type { Beliefs } from '../faults/beliefs.ts';
import type { Fault } from '../faults/fault.ts';
import type { StateFaults } from '../faults/state-faults.ts';
import type { Universe } from '../faults/universe.ts';
import { handiestNets } from './handy-nets.ts';

/** A reading that would show faults nothing has spoken of yet. */
export interface SurveyReading {
  readonly probe: Probe;
  /** Expected number of faults it would show. */
  readonly faults: number;
  /** Parts it would speak for. */
  readonly parts: readonly number[];
}

export interface Survey {
  /** Best first. */
  readonly readings: readonly SurveyReading[];
  /** Expected number of meter-visible shorts not read yet, that some reading could show. */
  readonly unread: number;
  /** Parts no reading on the assembled board can speak for: a healthy path lies beside them. */
  readonly hidden: readonly number[];
}

/** A reading speaks for a short when the way through it stays below this share of the threshold. */
const SURE_BEEP_RATIO = 0.6;
/** Beside a healthy path of at least this many ohms an ohms reading still shows a short. */
export const LEAST_TOLD_OHMS = 1;
const NEGLIGIBLE_CHANCE = 1e-6;
const HIDDEN_CHANCE = 0.001;

interface Group {
  readonly probe: Probe;
  /** Ids; faults are taken one after the other, so a repeat can only be the last one. */
  readonly faults: number[];
}

/** Groups what may still be wrong, unseen, by the reading that would show it. */
export function surveyOf(beliefs: Beliefs, state: BoardState): Survey {
  const sorter = new Sorter(beliefs, state);
  for (const fault of beliefs.problem.universe.faults) sorter.take(fault);
  return sorter.survey();
}

class Sorter {
  readonly #beliefs: Beliefs;
  readonly #here: StateFaults;
  readonly #view: View;
  /** By net: the net to probe in its place. */
  readonly #handiest: Int32Array;
  /** Pairs read as the board is now; and those of them read in ohms. */
  readonly #taken: ReadonlySet<string>;
  readonly #measured: ReadonlySet<string>;
  readonly #groups = new Map<number, Group>();
  readonly #hidden = new Map<number, number>();
  readonly #near = new Map<number, ReadonlyMap<number, number>>();

  constructor(beliefs: Beliefs, state: BoardState) {
    this.#beliefs = beliefs;
    this.#view = beliefs.problem.circuit.view(state);
    this.#handiest = handiestNets(beliefs.problem.circuit.board, this.#view);
    const now = stateKey(state);
    this.#here = beliefs.problem.states.at({ state, stateKey: now });
    const here = beliefs.problem.observations.filter((o) => o.stateKey === now);
    const keys = (some: typeof here): Set<string> =>
      new Set(some.map(({ a, b }) => netPairKey(a, b)));
    this.#taken = keys(here);
    this.#measured = keys(
      here.filter(({ entries }) => entries.some(({ value }) => value.kind === 'ohms')),
    );
  }

  take(fault: Fault): void {
    const chance = this.#beliefs.chance[fault.id] as number;
    if (chance < NEGLIGIBLE_CHANCE || this.#here.acts[fault.id] === 0) return;
    if (fault.what !== 'part' && fault.what !== 'joint') return;
    const { beepOhms } = this.#beliefs.problem.meter;
    const shorts = this.#here.branchesOf(fault.id).filter(({ ohms }) => ohms <= beepOhms);
    if (fault.branches.length === 0) this.#takeOpen(fault);
    else if (
      shorts.length > 0 &&
      shorts.filter((branch) => this.#takeShort(fault, branch)).length === 0
    ) {
      for (const { part } of fault.members) {
        this.#hidden.set(part, (this.#hidden.get(part) ?? 0) + chance);
      }
    }
  }

  /** Notes every pair of nets between which the short would sound; false when there is none. */
  #takeShort(fault: Fault, { a, b, ohms }: Branch): boolean {
    const { meter } = this.#beliefs.problem;
    const { network } = this.#view;
    // What leaves a net bounds what joins it to another; only low bounds need a solve.
    const least = 1 / Math.min(this.#leaving(a), this.#leaving(b));
    const apart = least > 2 * meter.beepOhms;
    const healthy = apart ? least : network.resistance(a, b);
    if (healthy > 2 * meter.beepOhms) {
      const limit = SURE_BEEP_RATIO * meter.beepOhms - ohms;
      for (const [x, ohmsA] of this.#around(a)) {
        for (const [y, ohmsB] of this.#around(b)) {
          if (ohmsA + ohmsB <= limit) this.#add('continuity', x, y, fault);
        }
      }
      return true;
    }
    if (healthy < LEAST_TOLD_OHMS + ohms) return false;
    this.#add('ohms', a, b, fault);
    return true;
  }

  /** Conductance of everything on a net, S. */
  #leaving(net: number): number {
    let sum = 0;
    for (const k of this.#view.touching[net] ?? []) {
      sum += 1 / (this.#view.network.branches[k] as Branch).ohms;
    }
    return sum;
  }

  #around(net: number): ReadonlyMap<number, number> {
    let near = this.#near.get(net);
    if (near === undefined) {
      const limit = SURE_BEEP_RATIO * this.#beliefs.problem.meter.beepOhms;
      const handy = new Map<number, number>();
      for (const [found, ohms] of reach(this.#view, [], net, limit)) {
        const probe = this.#handiest[found] as number;
        handy.set(probe, Math.min(ohms, handy.get(probe) ?? ohms));
      }
      near = handy;
      this.#near.set(net, near);
    }
    return near;
  }

  /** A fuse or link gone open shows as a missing beep across it. */
  #takeOpen(fault: Fault): void {
    if (!fault.opensPart) return;
    const { circuit, meter } = this.#beliefs.problem;
    const part = fault.members[0]?.part ?? -1;
    const element = circuit.models[part]?.healthy[0];
    if (element === undefined || element.ohms > 0.2 * meter.beepOhms) return;
    const { ohms } = element;
    const netA = netOf(circuit.board, element.a);
    const netB = netOf(circuit.board, element.b);
    const isOnlyWay = this.#view.network.resistance(netA, netB) > ohms * (1 - 1e-6);
    if (isOnlyWay) this.#add('continuity', netA, netB, fault);
  }

  #add(mode: 'continuity' | 'ohms', a: number, b: number, fault: Fault): void {
    const [x, y] = a < b ? [a, b] : [b, a];
    const nets = this.#beliefs.problem.circuit.board.nets.length;
    const key = ((mode === 'ohms' ? nets : 0) + x) * nets + y;
    let group = this.#groups.get(key);
    if (group === undefined) {
      // A beep where a healthy board beeps leaves the ohms to be asked for.
      const taken = mode === 'ohms' ? this.#measured : this.#taken;
      if (taken.has(netPairKey(x, y))) return;
      group = { probe: { mode, red: { net: x }, black: { net: y } }, faults: [] };
      this.#groups.set(key, group);
    }
    if (group.faults[group.faults.length - 1] !== fault.id) group.faults.push(fault.id);
  }

  /** A pair that must be measured in ohms anyway need not be beeped as well. */
  #mergeModes(): void {
    const nets = this.#beliefs.problem.circuit.board.nets.length;
    const ohmsFrom = nets * nets;
    for (const [key, ohms] of this.#groups) {
      const beeped = key < ohmsFrom ? undefined : this.#groups.get(key - ohmsFrom);
      if (beeped === undefined) continue;
      ohms.faults.push(...beeped.faults.filter((id) => !ohms.faults.includes(id)));
      this.#groups.delete(key - ohmsFrom);
    }
  }

  survey(): Survey {
    const { universe, circuit } = this.#beliefs.problem;
    const chanceOf = (ids: Iterable<number>): number => {
      let sum = 0;
      for (const id of ids) sum += this.#beliefs.chance[id] as number;
      return sum;
    };
    this.#mergeModes();
    const pads = (net: number): number => circuit.board.nets[net]?.pins.length ?? 0;
    const readable = new Set<number>();
    const readings = [...this.#groups.values()].map(({ probe, faults }) => {
      for (const id of faults) readable.add(id);
      return { probe, faults: chanceOf(faults), ids: faults };
    });
    // Of readings that say the same, the one on the nets with most pads is the easiest to take.
    const handy = ({ probe }: { probe: Probe }): number =>
      pads(probe.red.net) + pads(probe.black.net);
    readings.sort((x, y) => y.faults - x.faults || handy(y) - handy(x));
    return {
      readings: readings.slice(0, MOST_READINGS).map(({ probe, faults, ids }) => ({
        probe,
        faults,
        parts: partsOf(universe, ids),
      })),
      unread: chanceOf(readable),
      hidden: [...this.#hidden]
        .filter(([, chance]) => chance > HIDDEN_CHANCE)
        .map(([part]) => part),
    };
  }
}

function partsOf(universe: Universe, ids: readonly number[]): number[] {
  const parts = ids.flatMap((id) => universe.faults[id]?.members.map((m) => m.part) ?? []);
  return [...new Set(parts)];
}

/** More than anyone looks at. */
const MOST_READINGS = 50;
