import { netOf, type View } from '../circuit/circuit.ts';
import { reach } from '../circuit/conduction.ts';
import type { Branch } from '../circuit/network.ts';
import type { Probe } from '../circuit/reading.ts';
import type { BoardState } from '../circuit/state.ts';
import type { Fault } from '../faults/fault.ts';
import type { Problem } from '../faults/problem.ts';
import type { StateFaults } from '../faults/state-faults.ts';
import { handiestNets } from './handy-nets.ts';

/** Pairs of nets to probe and the faults each would show, laid out flat. */
export interface SurveyPairs {
  readonly probes: readonly Probe[];
  /** Faults of the k-th, each once, ascending: `faults` from `starts[k]` up to `starts[k + 1]`. */
  readonly starts: Int32Array;
  readonly faults: Int32Array;
  /** By pair: the same nets with a beeper, when these are to be read in ohms, and the other way about; else −1. */
  readonly beeped: Int32Array;
  readonly measured: Int32Array;
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
  /** By number of a pair: its place among the pairs, and what it shows. */
  readonly #places = new Map<number, number>();
  readonly #probes: Probe[] = [];
  readonly #shown: number[][] = [];
  readonly #near = new Map<number, ReadonlyMap<number, number>>();
  readonly pairs: SurveyPairs;
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
    this.pairs = this.#laidOut();
  }

  /** Place of the pair of two nets to be read in a mode; −1 where that would show nothing. */
  placeOf(mode: 'continuity' | 'ohms', a: number, b: number): number {
    return this.#places.get(this.#numberOf(mode, a, b)) ?? -1;
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
    const at = this.#numberOf(mode, a, b);
    let place = this.#places.get(at);
    if (place === undefined) {
      place = this.#probes.length;
      this.#places.set(at, place);
      const [x, y] = a < b ? [a, b] : [b, a];
      this.#probes.push({ mode, red: { net: x }, black: { net: y } });
      this.#shown.push([]);
    }
    // Faults are taken one after the other, so a repeat can only be the last one.
    const shown = this.#shown[place] as number[];
    if (shown[shown.length - 1] !== fault.id) shown.push(fault.id);
  }

  #numberOf(mode: 'continuity' | 'ohms', a: number, b: number): number {
    const nets = this.#problem.circuit.board.nets.length;
    return ((mode === 'ohms' ? nets : 0) + Math.min(a, b)) * nets + Math.max(a, b);
  }

  #laidOut(): SurveyPairs {
    const count = this.#probes.length;
    const starts = new Int32Array(count + 1);
    this.#shown.forEach((ids, k) => {
      starts[k + 1] = (starts[k] as number) + ids.length;
    });
    const beeped = new Int32Array(count).fill(-1);
    const measured = new Int32Array(count).fill(-1);
    this.#probes.forEach(({ mode, red, black }, place) => {
      const other = mode === 'ohms' ? this.placeOf('continuity', red.net, black.net) : -1;
      if (other < 0) return;
      beeped[place] = other;
      measured[other] = place;
    });
    const faults = Int32Array.from(this.#shown.flat());
    return { probes: this.#probes, starts, faults, beeped, measured };
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
