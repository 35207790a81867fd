import type { View } from '../circuit/circuit.ts';
import { reach } from '../circuit/conduction.ts';
import type { Meter } from '../circuit/meter.ts';
import type { Branch, Network } from '../circuit/network.ts';
import type { Problem } from '../faults/problem.ts';
import { handiestNets, SAME_COPPER_OHMS } from './handy-nets.ts';
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
/** Less beside a part, as a share of its own conductance, is no more than rounding. */
const LEAST_SIEMENS_RATIO = 1e-6;
/** A meter tells ohms from so many times as many. */
const LEAST_TOLD_RATIO = 1.5;
/** Of the nets near one, so many with the most pads are thought of as places to probe. */
const MOST_PLACES = 12;

/** What is known of one short. */
interface Known {
  readonly a: number;
  readonly b: number;
  readonly ohms: number;
  showing: Showing | undefined;
  /** Others between the same nets. */
  readonly next: Known | undefined;
}

const NONE: readonly Branch[] = [];

/** What shows otherwise than on a view before. */
export interface Otherwise {
  /** By net: 1 when shorts on it may. */
  readonly onNet: Uint8Array;
  isChanged(branch: Branch): boolean;
  /** Faults that open a part, by their numbers. */
  readonly opens: readonly number[];
}

/** A view that differs in more branches is gone through anew. */
const MOST_CHANGED = 8;

/** Where shorts between two nets show, with what conducts on a healthy board. */
export class SurveyWays {
  readonly #nets: Problem['circuit']['board']['nets'];
  readonly #meter: Meter;
  #view: View;
  /** By net: the net to probe in its place. */
  readonly #handiest: Int32Array;
  /** By net: conductance of everything on it, S. */
  readonly #leaving: Float64Array;
  /** By net: places to probe it at and the Ω to them, one after the other. */
  readonly #near: (readonly number[])[] = [];
  /** By two nets: Ω between them. */
  readonly #ohms = new Map<number, number>();
  /** By two nets: the shorts between them. */
  readonly #known = new Map<number, Known>();
  /** By fault that opens a part: its nets, and what shows it. */
  readonly #opens = new Map<number, { readonly part: Branch; mode: SurveyMode | undefined }>();

  constructor({ circuit, meter }: Problem, view: View) {
    this.#nets = circuit.board.nets;
    this.#meter = meter;
    this.#view = view;
    this.#handiest = handiestNets(circuit.board, view);
    this.#leaving = leavingOf(view);
  }

  /** The network they were found in. */
  get network(): Network {
    return this.#view.network;
  }

  /** @returns undefined when a healthy path lies beside the short that hides it */
  of(short: Branch): Showing | undefined {
    const known = this.#knownOf(short);
    if (known !== undefined) return known.showing;
    const { a, b, ohms } = short;
    const key = a * this.#nets.length + b;
    const showing = this.#find(a, b, ohms);
    this.#known.set(key, { a, b, ohms, showing, next: this.#known.get(key) });
    return showing;
  }

  #knownOf({ a, b, ohms }: Branch): Known | undefined {
    let known = this.#known.get(a * this.#nets.length + b);
    while (known !== undefined && known.ohms !== ohms) known = known.next;
    return known;
  }

  /**
   * How a fault that opens a part of few ohms shows: as a missing beep, or as more ohms where another way
   * sounds; undefined where neither would be told.
   */
  openMode(fault: number, part: Branch): SurveyMode | undefined {
    let known = this.#opens.get(fault);
    if (known === undefined || !isSame(known.part, part)) {
      known = { part, mode: this.#openModeOf(part) };
      this.#opens.set(fault, known);
    }
    return known.mode;
  }

  #openModeOf({ a, b, ohms }: Branch): SurveyMode | undefined {
    const { beepOhms, contactOhms } = this.#meter;
    const whole = this.#ohmsBetween(a, b);
    const siemens = 1 / whole - 1 / ohms;
    const beside = siemens > LEAST_SIEMENS_RATIO / ohms ? 1 / siemens : Number.POSITIVE_INFINITY;
    if (beside > 2 * beepOhms) return 'continuity';
    const isTold = beside > LEAST_TOLD_RATIO * whole && beside > whole + 4 * contactOhms;
    return isTold && this.#meter.drives.ohms !== undefined ? 'ohms' : undefined;
  }

  /**
   * Goes over to a view that differs in a few branches.
   * @returns undefined, with nothing changed, where that takes no less than to begin anew
   */
  goOverTo(view: View): Otherwise | undefined {
    const changed = changedBranches(this.#view, view);
    if (changed === undefined || changed.length > MOST_CHANGED) return undefined;
    if (changed.some(({ ohms }) => ohms < SAME_COPPER_OHMS)) return undefined;
    const onNet = new Uint8Array(this.#nets.length);
    const moved = this.#moveNear(view, changed);
    for (const net of moved) onNet[net] = 1;
    this.#view = view;
    for (const net of changed.flatMap(({ a, b }) => [a, b])) {
      this.#leaving[net] = leavingNet(view, net);
      onNet[net] = 1;
    }
    this.#ohms.clear();
    const found = new Set<Known>();
    for (const first of this.#known.values()) {
      for (let known: Known | undefined = first; known !== undefined; known = known.next) {
        if (this.#isRenewed(known, onNet, moved)) found.add(known);
      }
    }
    onNet.fill(0);
    for (const { a, b } of found) {
      onNet[a] = 1;
      onNet[b] = 1;
    }
    return {
      onNet,
      isChanged: (branch) => {
        const known = this.#knownOf(branch);
        return known !== undefined && found.has(known);
      },
      opens: this.#renewOpens(),
    };
  }

  /** @returns nets that other places are near to now */
  #moveNear(view: View, changed: readonly Branch[]): ReadonlySet<number> {
    const limit = SURE_BEEP_RATIO * this.#meter.beepOhms;
    const ends = changed.filter(({ ohms }) => ohms <= limit).flatMap(({ a, b }) => [a, b]);
    const around = new Set<number>();
    for (const end of ends) {
      for (const at of [this.#view, view]) {
        for (const net of reach(at, NONE, end, limit).keys()) around.add(net);
      }
    }
    const moved = new Set<number>();
    for (const net of around) {
      const before = this.#near[net];
      if (before === undefined) continue;
      const now = this.#placesNear(view, net);
      if (now.length === before.length && now.every((one, k) => one === before[k])) continue;
      this.#near[net] = now;
      moved.add(net);
    }
    return moved;
  }

  /** Finds anew what a short shows as where that could be something else. */
  #isRenewed(known: Known, onNet: Uint8Array, moved: ReadonlySet<number>): boolean {
    const { a, b, ohms, showing } = known;
    const isNear = onNet[a] === 1 || onNet[b] === 1;
    if (!isNear && this.#leastBetween(a, b) > 2 * this.#meter.beepOhms) return false;
    const mode = this.#modeOf(a, b, ohms);
    const isSame = mode === showing?.mode;
    if (isSame && (mode !== 'continuity' || (!moved.has(a) && !moved.has(b)))) return false;
    known.showing = this.#find(a, b, ohms);
    return true;
  }

  #renewOpens(): number[] {
    const found: number[] = [];
    for (const [fault, known] of this.#opens) {
      const mode = this.#openModeOf(known.part);
      if (mode === known.mode) continue;
      known.mode = mode;
      found.push(fault);
    }
    return found;
  }

  #find(a: number, b: number, ohms: number): Showing | undefined {
    const mode = this.#modeOf(a, b, ohms);
    if (mode === undefined) return undefined;
    return { mode, ends: mode === 'ohms' ? [a, b] : this.#sounding(a, b, ohms) };
  }

  #modeOf(a: number, b: number, ohms: number): SurveyMode | undefined {
    const { beepOhms, drives } = this.#meter;
    const least = this.#leastBetween(a, b);
    const healthy = least > 2 * beepOhms ? least : this.#ohmsBetween(a, b);
    if (healthy > 2 * beepOhms) return 'continuity';
    return healthy < LEAST_TOLD_OHMS + ohms || drives.ohms === undefined ? undefined : 'ohms';
  }

  /** What leaves a net bounds what joins it to another; only low bounds need a solve. */
  #leastBetween(a: number, b: number): number {
    return 1 / Math.min(this.#leaving[a] as number, this.#leaving[b] as number);
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
  #ohmsBetween(a: number, b: number): number {
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
      near = this.#placesNear(this.#view, net);
      this.#near[net] = near;
    }
    return near;
  }

  #placesNear(view: View, net: number): readonly number[] {
    const limit = SURE_BEEP_RATIO * this.#meter.beepOhms;
    const handy = new Map<number, number>();
    reach(view, NONE, net, limit).forEach((ohms, found) => {
      const probe = this.#handiest[found] as number;
      handy.set(probe, Math.min(ohms, handy.get(probe) ?? ohms));
    });
    const places = handy.size > MOST_PLACES ? this.#easiest(handy, net) : [...handy.keys()];
    const near: number[] = [];
    places.forEach((place) => {
      near.push(place, handy.get(place) as number);
    });
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

function leavingNet({ network, touching }: View, net: number): number {
  let siemens = 0;
  for (const k of touching[net] ?? []) siemens += 1 / (network.branches[k] as Branch).ohms;
  return siemens;
}

/** Branches that only one of two views has; undefined where they differ in links, which no element tells. */
function changedBranches(one: View, other: View): Branch[] | undefined {
  const changed: Branch[] = [];
  const at = ({ elementOf }: View, k: number): number => elementOf[k] ?? Number.POSITIVE_INFINITY;
  for (let [i, j] = [0, 0]; ; ) {
    const [own, its] = [at(one, i), at(other, j)];
    if (own === its && own === Number.POSITIVE_INFINITY) return changed;
    if (own < 0 || its < 0) return undefined;
    if (own <= its) {
      if (own < its) changed.push(one.network.branches[i] as Branch);
      i++;
    }
    if (its <= own) {
      if (its < own) changed.push(other.network.branches[j] as Branch);
      j++;
    }
  }
}

function isSame(one: Branch, other: Branch): boolean {
  return one.a === other.a && one.b === other.b && one.ohms === other.ohms;
}
