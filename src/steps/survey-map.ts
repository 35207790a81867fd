import { type Circuit, netOf } from '../circuit/circuit.ts';
import type { Branch } from '../circuit/network.ts';
import type { BoardState } from '../circuit/state.ts';
import type { Fault } from '../faults/fault.ts';
import type { Problem } from '../faults/problem.ts';
import type { StateFaults } from '../faults/state-faults.ts';
import { PairIndex, Row, type SurveyMode } from './pair-index.ts';
import { type Otherwise, SurveyWays } from './survey-ways.ts';

/** Pairs of nets to probe and the faults each would show, laid out flat. */
export interface SurveyPairs {
  readonly places: PairIndex;
  /** Faults of the k-th, each once, ascending: `faults` from `starts[k]` up to `starts[k + 1]`. */
  readonly starts: Int32Array;
  readonly faults: Int32Array;
  /** By pair: the same nets with a beeper, when these are to be read in ohms, and the other way about; else −1. */
  readonly beeped: Int32Array;
  readonly measured: Int32Array;
}

const KNOWN = new WeakMap<StateFaults, SurveyMap>();

/** The last map of a board, and what its listing of faults had told apart. */
interface Last {
  readonly ways: SurveyWays;
  readonly map: SurveyMap;
  readonly apart: readonly number[];
}

const LAST = new WeakMap<Circuit, Last>();

/**
 * Which faults of parts which reading would show under a state; worked out once for it. Of the map before
 * only what may differ is gone through: parts that one of the two listings tells apart, and shorts near
 * what conducts otherwise.
 */
export function surveyMap(problem: Problem, state: BoardState, here: StateFaults): SurveyMap {
  let map = KNOWN.get(here.lasting);
  if (map === undefined) {
    const { circuit, universe } = problem;
    const view = circuit.view(state);
    const last = LAST.get(circuit);
    const otherwise = last?.ways.network === view.network ? 'nothing' : last?.ways.goOverTo(view);
    const ways =
      last === undefined || otherwise === undefined ? new SurveyWays(problem, view) : last.ways;
    const mapping = new Mapping(problem, here.lasting, ways);
    map =
      last === undefined || otherwise === undefined
        ? mapping.anew()
        : mapping.from(last.map, last.apart, otherwise === 'nothing' ? undefined : otherwise);
    LAST.set(circuit, { ways, map, apart: universe.apart });
    KNOWN.set(here.lasting, map);
  }
  return map;
}

/** What there is to read on a board in one state, whatever is believed of it. */
export class SurveyMap {
  readonly pairs: SurveyPairs;
  /** Shorts that no reading on the assembled board would show, ascending. */
  readonly hidden: readonly Fault[];

  constructor(pairs: SurveyPairs, hidden: readonly Fault[]) {
    this.pairs = pairs;
    this.hidden = hidden;
  }

  /** Place of the pair of two nets to be read in a mode; −1 where that would show nothing. */
  placeOf(mode: SurveyMode, a: number, b: number): number {
    return this.pairs.places.find(mode, a, b);
  }
}

/** Goes through faults once; holds what is needed no longer when that is done. */
class Mapping {
  readonly #problem: Problem;
  readonly #here: StateFaults;
  readonly #ways: SurveyWays;
  #places: PairIndex = new PairIndex();
  /** Place, and fault that it shows, one after the other. */
  readonly #shown = new Row();
  /** By place: the fault it was last seen to show. */
  #lastShown: LastShown = new Everywhere();
  readonly #hidden: Fault[] = [];

  constructor(problem: Problem, here: StateFaults, ways: SurveyWays) {
    this.#problem = problem;
    this.#here = here;
    this.#ways = ways;
  }

  anew(): SurveyMap {
    this.#go(this.#here.acts.keys());
    const pairs = byPlace(this.#shown, this.#places.size);
    return new SurveyMap({ ...pairs, ...this.#bothWays(), places: this.#places }, this.#hidden);
  }

  /**
   * From a map made before.
   * @param apart faults that its listing told apart
   * @param otherwise what shows otherwise since; default: nothing
   */
  from({ pairs, hidden }: SurveyMap, apart: readonly number[], otherwise?: Otherwise): SurveyMap {
    const renewed = new Set([...apart, ...this.#problem.universe.apart]);
    for (const id of otherwise === undefined ? [] : this.#shownOtherwise(otherwise))
      renewed.add(id);
    this.#places = pairs.places.copy();
    this.#lastShown = new Map(); // few places are gone through
    this.#go([...renewed].filter((id) => id < this.#here.acts.length).sort((x, y) => x - y));
    const kept = hidden.filter(({ id }) => !renewed.has(id));
    const all = [...kept, ...this.#hidden].sort((x, y) => x.id - y.id);
    const own = this.#together(pairs, renewed);
    return new SurveyMap({ ...own, ...this.#bothWays(pairs), places: this.#places }, all);
  }

  #shownOtherwise({ onNet, isChanged, opens }: Otherwise): number[] {
    const { ids, starts, a, b, ohms } = this.#here.table;
    const found = [...opens];
    ids.forEach((id, at) => {
      for (let k = starts[at] as number; k < (starts[at + 1] as number); k++) {
        const one = a[k] as number;
        const other = b[k] as number;
        if (onNet[one] === 0 || onNet[other] === 0) continue;
        if (isChanged({ a: one, b: other, ohms: ohms[k] as number })) found.push(id);
      }
    });
    return found;
  }

  #go(ids: Iterable<number>): void {
    const { faults } = this.#problem.universe;
    for (const id of ids) {
      if (this.#here.acts[id] === 0) continue;
      const fault = faults[id] as Fault;
      if (!this.#take(fault)) this.#hidden.push(fault);
    }
  }

  /** What a map showed of faults that stay as they were, and what was found of the others, by fault. */
  #together(
    { starts, faults }: SurveyPairs,
    renewed: ReadonlySet<number>,
  ): Pick<SurveyPairs, 'starts' | 'faults'> {
    const { size } = this.#places;
    const own = new Map<number, number[]>(); // by place
    const hasOwn = new Uint8Array(size);
    for (let k = 0; k < this.#shown.length; k += 2) {
      const place = this.#shown.at(k);
      hasOwn[place] = 1;
      const held = own.get(place);
      if (held === undefined) own.set(place, [this.#shown.at(k + 1)]);
      else held.push(this.#shown.at(k + 1));
    }
    const { length } = this.#here.acts;
    const isRenewed = new Uint8Array(length);
    for (const id of renewed) isRenewed[id] = 1;
    const allStarts = new Int32Array(size + 1);
    const all = new Int32Array(faults.length + this.#shown.length / 2);
    let count = 0;
    for (let place = 0; place < size; place++) {
      const added = hasOwn[place] === 1 ? (own.get(place) as readonly number[]) : NONE;
      let next = 0;
      const end = starts[place + 1] ?? 0; // places that are new have no faults from before
      for (let k = starts[place] ?? end; k < end; k++) {
        const id = faults[k] as number;
        if (id >= length || isRenewed[id] === 1) continue; // another listing's own numbers lie behind
        while (next < added.length && (added[next] as number) < id) {
          all[count++] = added[next++] as number;
        }
        all[count++] = id;
      }
      while (next < added.length) all[count++] = added[next++] as number;
      allStarts[place + 1] = count;
    }
    return { starts: allStarts, faults: all.subarray(0, count) };
  }

  /** @returns whether some reading shows the fault, or it is not a short */
  #take(fault: Fault): boolean {
    if (fault.what !== 'part') return true;
    if (fault.branches.length === 0) {
      this.#takeOpen(fault);
      return true;
    }
    const { beepOhms } = this.#problem.meter;
    let isShort = false;
    let isShown = false;
    const branches = this.#here.branchesOf(fault.id);
    for (let k = 0; k < branches.length; k++) {
      const branch = branches[k] as Branch;
      if (branch.ohms > beepOhms) continue;
      isShort = true;
      if (this.#takeShort(fault, branch)) isShown = true;
    }
    return isShown || !isShort;
  }

  /** Notes every pair of nets between which the short would show; false when a healthy path hides it. */
  #takeShort(fault: Fault, branch: Branch): boolean {
    const showing = this.#ways.of(branch);
    if (showing === undefined) return false;
    const { mode, ends } = showing;
    for (let k = 0; k < ends.length; k += 2) {
      this.#note(this.#places.place(mode, ends[k] as number, ends[k + 1] as number), fault.id);
    }
    return true;
  }

  /** A fuse or link gone open shows as a missing beep across it, or as more ohms where another way sounds. */
  #takeOpen(fault: Fault): void {
    if (!fault.opensPart) return;
    const { circuit, meter } = this.#problem;
    const part = fault.members[0]?.part ?? -1;
    const element = circuit.models[part]?.healthy[0];
    if (element === undefined || element.ohms > SURE_LINK_RATIO * meter.beepOhms) return;
    const netA = netOf(circuit.board, element.a);
    const netB = netOf(circuit.board, element.b);
    const mode = this.#ways.openMode(fault.id, { a: netA, b: netB, ohms: element.ohms });
    if (mode !== undefined) this.#note(this.#places.place(mode, netA, netB), fault.id);
  }

  /** Faults are taken one after the other, so a repeat can only be the last one. */
  #note(place: number, id: number): void {
    if (this.#lastShown.get(place) === id) return;
    this.#lastShown.set(place, id);
    this.#shown.push(place);
    this.#shown.push(id);
  }

  /** @param before of the places that are not new */
  #bothWays(before?: SurveyPairs): Pick<SurveyPairs, 'beeped' | 'measured'> {
    const places = this.#places;
    const { size } = places;
    const from = before?.places.size ?? 0;
    if (before !== undefined && size === from) {
      return { beeped: before.beeped, measured: before.measured };
    }
    const beeped = new Int32Array(size).fill(-1);
    const measured = new Int32Array(size).fill(-1);
    beeped.set(before?.beeped ?? NONE);
    measured.set(before?.measured ?? NONE);
    for (let place = from; place < size; place++) {
      const isOhms = places.mode(place) === 'ohms';
      if (!isOhms && before === undefined) continue; // all pairs in ohms come up
      const other = isOhms ? 'continuity' : 'ohms';
      const beside = places.find(other, places.red(place), places.black(place));
      if (beside < 0) continue;
      const [ohms, beep] = isOhms ? [place, beside] : [beside, place];
      beeped[ohms] = beep;
      measured[beep] = ohms;
    }
    return { beeped, measured };
  }
}

const NONE: readonly number[] = [];

/** What is healthy at up to this share of the threshold sounds for sure. */
const SURE_LINK_RATIO = 0.25;

/** By place: a fault. */
interface LastShown {
  get(place: number): number | undefined;
  set(place: number, id: number): void;
}

/** The same for all places there are; quicker where most are gone through. */
class Everywhere implements LastShown {
  readonly #held = new Row();

  get(place: number): number | undefined {
    return place < this.#held.length ? this.#held.at(place) : undefined;
  }

  set(place: number, id: number): void {
    while (this.#held.length <= place) this.#held.push(-1);
    this.#held.set(place, id);
  }
}

/** Pairs of place and fault, laid out by place in the order they came. */
function byPlace(shown: Row, count: number): Pick<SurveyPairs, 'starts' | 'faults'> {
  const starts = new Int32Array(count + 1);
  for (let k = 0; k < shown.length; k += 2) starts[shown.at(k) + 1]!++;
  for (let place = 0; place < count; place++) starts[place + 1]! += starts[place] as number;
  const next = starts.slice(0, count);
  const faults = new Int32Array(shown.length / 2);
  for (let k = 0; k < shown.length; k += 2) faults[next[shown.at(k)]!++] = shown.at(k + 1);
  return { starts, faults };
}
