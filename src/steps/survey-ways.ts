import type { Circuit, View } from '../circuit/circuit.ts';
import { reach } from '../circuit/conduction.ts';
import type { Meter } from '../circuit/meter.ts';
import type { Branch, Network } from '../circuit/network.ts';
import type { Problem } from '../faults/problem.ts';
import { handiestNets } from './handy-nets.ts';
import type { SurveyMode } from './pair-index.ts';

/** The pairs of nets between which a short would show, one end after the other, and how to read them. */
export interface Showing {
  readonly mode: SurveyMode;
  readonly ends: readonly number[];
}

/** A reading speaks for a short when the way through it stays below this share of the threshold. */
const SURE_BEEP_RATIO = 0.6;
/** Beside a healthy path of at least this many ohms an ohms reading still shows a short. */
export const LEAST_TOLD_OHMS = 1;
/** Of the nets near one, so many with the most pads are thought of as places to probe. */
const MOST_PLACES = 12;

/** By board: those of the last view asked for. Looks, and lifts of parts that conduct nothing, change none. */
const LAST = new WeakMap<Circuit, { readonly network: Network; readonly ways: SurveyWays }>();

/** What shows between the nets of a view; the last of each board is kept. */
export function surveyWays(problem: Problem, view: View): SurveyWays {
  let last = LAST.get(problem.circuit);
  if (last?.network !== view.network) {
    last = { network: view.network, ways: new SurveyWays(problem, view) };
    LAST.set(problem.circuit, last);
  }
  return last.ways;
}

const NONE: readonly Branch[] = [];

/** Where shorts between two nets show, with what conducts on a healthy board. */
export class SurveyWays {
  readonly #nets: Problem['circuit']['board']['nets'];
  readonly #meter: Meter;
  readonly #view: View;
  /** By net: the net to probe in its place. */
  readonly #handiest: Int32Array;
  /** By net: conductance of everything on it, S. */
  readonly #leaving: Float64Array;
  /** By net: places to probe it at and the Ω to them, one after the other. */
  readonly #near: (readonly number[])[] = [];
  /** By two nets: Ω between them. */
  readonly #ohms = new Map<number, number>();
  /** By two nets and the ohms of a short between them. */
  readonly #showing = new Map<string, Showing | undefined>();

  constructor({ circuit, meter }: Problem, view: View) {
    this.#nets = circuit.board.nets;
    this.#meter = meter;
    this.#view = view;
    this.#handiest = handiestNets(circuit.board, view);
    this.#leaving = leavingOf(view);
  }

  /** @returns undefined when a healthy path lies beside the short that hides it */
  of({ a, b, ohms }: Branch): Showing | undefined {
    const key = `${a} ${b} ${ohms}`;
    let showing = this.#showing.get(key);
    if (showing === undefined && !this.#showing.has(key)) {
      showing = this.#find(a, b, ohms);
      this.#showing.set(key, showing);
    }
    return showing;
  }

  #find(a: number, b: number, ohms: number): Showing | undefined {
    const { beepOhms } = this.#meter;
    // What leaves a net bounds what joins it to another; only low bounds need a solve.
    const least = 1 / Math.min(this.#leaving[a] as number, this.#leaving[b] as number);
    const healthy = least > 2 * beepOhms ? least : this.ohmsBetween(a, b);
    if (healthy > 2 * beepOhms) return { mode: 'continuity', ends: this.#sounding(a, b, ohms) };
    return healthy < LEAST_TOLD_OHMS + ohms ? undefined : { mode: 'ohms', ends: [a, b] };
  }

  #sounding(a: number, b: number, ohms: number): number[] {
    const limit = SURE_BEEP_RATIO * this.#meter.beepOhms - ohms;
    const nearA = this.#around(a);
    const nearB = this.#around(b);
    const ends: number[] = [];
    for (let i = 0; i < nearA.length; i += 2) {
      for (let j = 0; j < nearB.length; j += 2) {
        if ((nearA[i + 1] as number) + (nearB[j + 1] as number) <= limit) {
          ends.push(nearA[i] as number, nearB[j] as number);
        }
      }
    }
    return ends;
  }

  /** Ω between two nets of the healthy board; kept. */
  ohmsBetween(a: number, b: number): number {
    const key = Math.min(a, b) * this.#nets.length + Math.max(a, b);
    let ohms = this.#ohms.get(key);
    if (ohms === undefined) {
      ohms = this.#view.network.resistanceOnce(a, b);
      this.#ohms.set(key, ohms);
    }
    return ohms;
  }

  #around(net: number): readonly number[] {
    let near = this.#near[net];
    if (near === undefined) {
      const limit = SURE_BEEP_RATIO * this.#meter.beepOhms;
      const handy = new Map<number, number>();
      reach(this.#view, NONE, net, limit).forEach((ohms, found) => {
        const probe = this.#handiest[found] as number;
        handy.set(probe, Math.min(ohms, handy.get(probe) ?? ohms));
      });
      const places = handy.size > MOST_PLACES ? this.#easiest(handy, net) : [...handy.keys()];
      const found: number[] = [];
      places.forEach((place) => {
        found.push(place, handy.get(place) as number);
      });
      near = found;
      this.#near[net] = near;
    }
    return near;
  }

  /** The places with most pads, and the one at the net itself. */
  #easiest(places: ReadonlyMap<number, number>, net: number): number[] {
    const pads = (place: number): number => this.#nets[place]?.pins.length ?? 0;
    const own = this.#handiest[net] as number;
    const rest = [...places.keys()].filter((place) => place !== own);
    return [own, ...rest.sort((x, y) => pads(y) - pads(x)).slice(0, MOST_PLACES - 1)];
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
