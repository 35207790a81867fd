import { netOf, type View } from '../circuit/circuit.ts';
import { reach } from '../circuit/conduction.ts';
import type { Branch } from '../circuit/network.ts';
import type { Probe } from '../circuit/reading.ts';
import { type BoardState, netPairKey } from '../circuit/state.ts';
import type { Fault } from '../faults/fault.ts';
import type { Problem } from '../faults/problem.ts';
import type { StateFaults } from '../faults/state-faults.ts';
import { handiestNets } from './handy-nets.ts';

/** A pair of nets to probe, and the faults that it would show. */
export interface SurveyPair {
  readonly probe: Probe;
  readonly key: string;
  /** Ids, each once, ascending. */
  readonly faults: number[];
  /** The same nets with a beeper, when these are to be read in ohms; and the other way about. */
  beeped?: SurveyPair;
  measured?: SurveyPair;
}

/** A reading speaks for a short when the way through it stays below this share of the threshold. */
const SURE_BEEP_RATIO = 0.6;
/** Beside a healthy path of at least this many ohms an ohms reading still shows a short. */
export const LEAST_TOLD_OHMS = 1;
/** Of the nets near one, so many with the most pads are thought of as places to probe. */
const MOST_PLACES = 12;

const KNOWN = new WeakMap<StateFaults, SurveyMap>();

/** Which faults of parts which reading would show under a state; worked out once for it. */
export function surveyMap(problem: Problem, state: BoardState, here: StateFaults): SurveyMap {
  let map = KNOWN.get(here.lasting);
  if (map === undefined) {
    map = new SurveyMap(problem, state, here.lasting);
    KNOWN.set(here.lasting, map);
  }
  return map;
}

/** What there is to read on a board in one state, whatever is believed of it. */
export class SurveyMap {
  readonly #problem: Problem;
  readonly #here: StateFaults;
  readonly #view: View;
  /** By net: the net to probe in its place. */
  readonly #handiest: Int32Array;
  /** By net: conductance of everything on it, S. */
  readonly #leaving: Float64Array;
  readonly #pairs = new Map<number, SurveyPair>();
  readonly #near = new Map<number, ReadonlyMap<number, number>>();
  /** Shorts that no reading on the assembled board would show. */
  readonly hidden: readonly Fault[];

  constructor(problem: Problem, state: BoardState, here: StateFaults) {
    this.#problem = problem;
    this.#here = here;
    this.#view = problem.circuit.view(state);
    this.#handiest = handiestNets(problem.circuit.board, this.#view);
    this.#leaving = leavingOf(this.#view);
    this.hidden = problem.universe.faults
      .slice(0, here.acts.length)
      .filter((fault) => here.acts[fault.id] === 1 && !this.#take(fault));
    this.#pairUp();
  }

  get pairs(): Iterable<SurveyPair> {
    return this.#pairs.values();
  }

  /** @returns whether some reading shows the fault, or it is not a short */
  #take(fault: Fault): boolean {
    if (fault.what !== 'part' && fault.what !== 'joint') return true;
    if (fault.branches.length === 0) {
      this.#takeOpen(fault);
      return true;
    }
    const { beepOhms } = this.#problem.meter;
    const shorts = this.#here.branchesOf(fault.id).filter(({ ohms }) => ohms <= beepOhms);
    if (shorts.length === 0) return true;
    return shorts.filter((branch) => this.#takeShort(fault, branch)).length > 0;
  }

  /** Notes every pair of nets between which the short would sound; false when there is none. */
  #takeShort(fault: Fault, { a, b, ohms }: Branch): boolean {
    const { meter } = this.#problem;
    const { network } = this.#view;
    // What leaves a net bounds what joins it to another; only low bounds need a solve.
    const least = 1 / Math.min(this.#leaving[a] as number, this.#leaving[b] as number);
    const apart = least > 2 * meter.beepOhms;
    const healthy = apart ? least : network.resistanceOnce(a, b);
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

  #around(net: number): ReadonlyMap<number, number> {
    let near = this.#near.get(net);
    if (near === undefined) {
      const limit = SURE_BEEP_RATIO * this.#problem.meter.beepOhms;
      const handy = new Map<number, number>();
      for (const [found, ohms] of reach(this.#view, [], net, limit)) {
        const probe = this.#handiest[found] as number;
        handy.set(probe, Math.min(ohms, handy.get(probe) ?? ohms));
      }
      near = handy.size > MOST_PLACES ? this.#easiest(handy, net) : handy;
      this.#near.set(net, near);
    }
    return near;
  }

  /** The places with most pads, and the one at the net itself. */
  #easiest(places: ReadonlyMap<number, number>, net: number): Map<number, number> {
    const { nets } = this.#problem.circuit.board;
    const pads = (place: number): number => nets[place]?.pins.length ?? 0;
    const own = this.#handiest[net] as number;
    const rest = [...places.keys()].filter((place) => place !== own);
    const kept = rest.sort((x, y) => pads(y) - pads(x)).slice(0, MOST_PLACES - 1);
    return new Map([own, ...kept].map((place) => [place, places.get(place) as number]));
  }

  /** A fuse or link gone open shows as a missing beep across it. */
  #takeOpen(fault: Fault): void {
    if (!fault.opensPart) return;
    const { circuit, meter } = this.#problem;
    const part = fault.members[0]?.part ?? -1;
    const element = circuit.models[part]?.healthy[0];
    if (element === undefined || element.ohms > 0.2 * meter.beepOhms) return;
    const { ohms } = element;
    const netA = netOf(circuit.board, element.a);
    const netB = netOf(circuit.board, element.b);
    const isOnlyWay = this.#view.network.resistanceOnce(netA, netB) > ohms * (1 - 1e-6);
    if (isOnlyWay) this.#add('continuity', netA, netB, fault);
  }

  #add(mode: 'continuity' | 'ohms', a: number, b: number, fault: Fault): void {
    const [x, y] = a < b ? [a, b] : [b, a];
    const nets = this.#problem.circuit.board.nets.length;
    const at = ((mode === 'ohms' ? nets : 0) + x) * nets + y;
    let pair = this.#pairs.get(at);
    if (pair === undefined) {
      const probe = { mode, red: { net: x }, black: { net: y } };
      pair = { probe, key: netPairKey(x, y), faults: [] };
      this.#pairs.set(at, pair);
    }
    // Faults are taken one after the other, so a repeat can only be the last one.
    if (pair.faults[pair.faults.length - 1] !== fault.id) pair.faults.push(fault.id);
  }

  #pairUp(): void {
    const nets = this.#problem.circuit.board.nets.length;
    const ohmsFrom = nets * nets;
    for (const [at, pair] of this.#pairs) {
      const beeped = at < ohmsFrom ? undefined : this.#pairs.get(at - ohmsFrom);
      if (beeped === undefined) continue;
      pair.beeped = beeped;
      beeped.measured = pair;
    }
  }
}

function leavingOf({ network }: View): Float64Array {
  const leaving = new Float64Array(network.nodeCount);
  for (const { a, b, ohms } of network.branches) {
    leaving[a]! += 1 / ohms;
    leaving[b]! += 1 / ohms;
  }
  return leaving;
}
