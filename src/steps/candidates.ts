import type { Board } from '../board/model.ts';
import type { Probe } from '../circuit/reading.ts';
import { type BoardState, netPairKey, withLifted, withOff } from '../circuit/state.ts';
import type { Beliefs } from '../faults/beliefs.ts';
import { pathThrough } from '../faults/cut.ts';
import type { Fault } from '../faults/fault.ts';
import { pairKey } from '../faults/observation.ts';
import { worldOf } from '../faults/world.ts';
import type { Clock } from './bench-times.ts';
import { handiestNets } from './handy-nets.ts';
import type { Hypothesis } from './hypotheses.ts';
import type { Offers } from './offers.ts';
import type { Step } from './step.ts';

/** A step that would tell something, before it is scored. */
export interface Candidate {
  readonly step: Step;
  /** The reading that tells, and the state of the board it is taken under. */
  readonly probe: Probe;
  readonly state: BoardState;
  /** Parts the step takes out of circuit. */
  readonly parts: readonly number[];
  readonly minutes: number;
  /** Minutes to undo the step, should the parts prove healthy, and what it counts for that they came off. */
  readonly undoMinutes: number;
  /** Minutes the step costs beyond renewing the parts, should they have to be renewed. */
  readonly aheadMinutes: number;
  /** Observation that the reading would repeat. */
  readonly repeats?: number;
  /** What an eye would judge, in place of a reading. */
  readonly look?: LookTarget;
}

/** Parts out of circuit, with a reading after. */
export interface TakingOut
  extends Pick<Candidate, 'state' | 'minutes' | 'undoMinutes' | 'aheadMinutes'> {
  /** The pin of the leg that is raised; absent when the parts come off. */
  readonly pin?: number;
}

/** A part, or the joint at one of its pins. */
export interface LookTarget {
  readonly part: number;
  readonly pin?: number;
}

/** Ways to read between two nets while fault sets are told apart. */
const MODES = ['continuity', 'ohms'] as const;
/** Nets worth a probe at most; pairs of them are tried. */
const MOST_NETS = 14;
/** Parts worth taking out of circuit at most. */
const MOST_PARTS = 24;

/** Pairs of their own that lifting parts is judged by at most. */
const MOST_OWN_PAIRS = 3;

/** After this many readings at the same points another tells nothing new. */
const MOST_REPEATS = 4;

/** Lighter suspects are not looked at one by one; nor are more than this many. */
const LEAST_LOOKED_WEIGHT = 0.02;
const MOST_LOOKS = 12;

/** Names what a look is at. */
export function lookKey({ part, pin }: { readonly part?: number; readonly pin?: number }): string {
  return pin === undefined ? `part ${part}` : `pin ${pin}`;
}

/** Everything worth considering while fault sets are to be told apart. */
export class Candidates {
  readonly #beliefs: Beliefs;
  readonly #hypotheses: readonly Hypothesis[];
  readonly #state: BoardState;
  readonly #clock: Clock;
  readonly #board: Board;
  readonly #offers: Offers;
  readonly #healthyPartMinutes: number;

  /** @param healthyPartMinutes as the settings have it */
  constructor(
    beliefs: Beliefs,
    hypotheses: readonly Hypothesis[],
    state: BoardState,
    clock: Clock,
    offers: Offers,
    healthyPartMinutes: number,
  ) {
    this.#beliefs = beliefs;
    this.#hypotheses = hypotheses;
    this.#state = state;
    this.#clock = clock;
    this.#offers = offers;
    this.#healthyPartMinutes = healthyPartMinutes;
    this.#board = beliefs.problem.circuit.board;
  }

  /** Readings between nets the fault sets speak of, as the board is now. */
  readings(): Candidate[] {
    const nets = this.#netsInPlay();
    const { observations, meter } = this.#beliefs.problem;
    const taken = new Set(observations.map((o) => o.pairKey));
    const modes = MODES.filter((mode) => meter.drives[mode] !== undefined);
    const found: Candidate[] = [];
    for (let i = 0; i < nets.length; i++) {
      for (let j = i + 1; j < nets.length; j++) {
        const red = { net: nets[i] as number };
        const black = { net: nets[j] as number };
        if (taken.has(pairKey(red.net, black.net, this.#state))) continue;
        for (const mode of modes) {
          const probe: Probe = { mode, red, black };
          found.push(this.reading(probe));
        }
      }
    }
    return found;
  }

  /** Readings already taken in this state that may be wrong. */
  repeats(doubtful: ReadonlySet<number>): Candidate[] {
    return this.#beliefs.problem.observations
      .filter(
        (observation) =>
          observation.ids.length < MOST_REPEATS &&
          observation.ids.some((id) => doubtful.has(id)) &&
          observation.pairKey === pairKey(observation.a, observation.b, this.#state),
      )
      .map((observation) => {
        const probe: Probe = {
          mode: 'continuity',
          red: { net: observation.a },
          black: { net: observation.b },
        };
        const base = this.reading(probe);
        return {
          ...base,
          repeats: observation.index,
          step: { kind: 'read', probe, purpose: 'repeat' },
        };
      });
  }

  /** A look at each thing that may have failed and that nobody has looked at. */
  looks(looked: ReadonlySet<string>): Candidate[] {
    const targets = new Map<string, LookTarget>();
    for (const { units, weight } of this.#hypotheses) {
      if (weight < LEAST_LOOKED_WEIGHT) continue;
      for (const unit of units) {
        const part = unit.parts[0];
        if (part === undefined) continue;
        const target: LookTarget = unit.pin === undefined ? { part } : { part, pin: unit.pin };
        const key = lookKey(target);
        if (!looked.has(key) && targets.size < MOST_LOOKS) targets.set(key, target);
      }
    }
    return [...targets.values()].map((look) => ({
      step: { kind: 'look', ...look },
      probe: { mode: 'continuity', red: { net: 0 }, black: { net: 0 } },
      state: this.#state,
      parts: [],
      minutes: this.#clock.look,
      undoMinutes: 0,
      aheadMinutes: 0,
      look,
    }));
  }

  /** A reading of the board as it is. */
  reading(probe: Probe): Candidate {
    return {
      step: { kind: 'read', probe, purpose: 'isolate' },
      probe,
      state: this.#state,
      parts: [],
      minutes: this.#clock.read(probe),
      undoMinutes: 0,
      aheadMinutes: 0,
    };
  }

  /** Parts, banks and links whose lifting would break a way that still conducts, with the reading after. */
  lifts(): Candidate[] {
    const asked = this.#askedPairs();
    const groups = new Map<string, readonly number[]>();
    for (const hypothesis of this.#hypotheses) {
      if (hypothesis.weight < 0.004 || groups.size >= MOST_PARTS) break;
      for (const unit of hypothesis.units) {
        if (!unit.comesOff) continue;
        const parts = unit.parts.filter((part) => this.#inCircuit(part));
        if (parts.length === 0) continue;
        // The last one: what a fault of several does is told by the first of them (see `Fault.branches`).
        if (unit.choice) groups.set(String(parts.at(-1)), parts.slice(-1));
        else groups.set(parts.join(','), parts);
      }
      for (const part of this.#linksOnWay(hypothesis, asked)) groups.set(String(part), [part]);
    }
    return [...groups.values()].flatMap((parts) => this.liftsOf(parts, asked));
  }

  /** Pairs of nets that suspected faults of some parts lie between: where the pair asked about is quiet by now. */
  #ownPairs(parts: readonly number[]): (readonly [number, number])[] {
    const { universe, circuit } = this.#beliefs.problem;
    const handiest = handiestNets(this.#board, circuit.view(this.#state));
    const pairs = new Map<string, readonly [number, number]>();
    for (const { accused } of this.#hypotheses) {
      for (const id of accused) {
        const fault = universe.faults[id] as Fault;
        if (!fault.members.some(({ part }) => parts.includes(part))) continue;
        for (const branch of fault.branches) {
          const [a, b] = [handiest[branch.a] as number, handiest[branch.b] as number];
          if (a !== b) pairs.set(netPairKey(a, b), [a, b]);
        }
      }
    }
    return [...pairs.values()].slice(0, MOST_OWN_PAIRS);
  }

  /** Taking these parts out of circuit, with each pair whose reading could tell whether it helped. */
  liftsOf(
    parts: readonly number[],
    asked: readonly (readonly [number, number])[] = this.#askedPairs(),
  ): Candidate[] {
    const known = new Set(asked.map(([a, b]) => netPairKey(a, b)));
    const own = this.#ownPairs(parts).filter(([a, b]) => !known.has(netPairKey(a, b)));
    const leg = this.#byLeg(parts);
    const ways = leg === undefined ? [this.#whole(parts)] : [leg, this.#whole(parts)];
    return ways.flatMap(({ pin, ...way }) =>
      [...asked, ...own].map(([red, black]) => {
        const probe: Probe = { mode: 'continuity', red: { net: red }, black: { net: black } };
        const step: Step =
          pin === undefined
            ? { kind: 'remove', parts, then: probe }
            : { kind: 'lift', part: parts[0] as number, pins: [pin], then: probe };
        return { ...way, step, probe, parts };
      }),
    );
  }

  /** The way to take parts out of circuit that is cheapest to undo, and read once. */
  takingOut(parts: readonly number[]): TakingOut {
    return this.#byLeg(parts) ?? this.#whole(parts);
  }

  /** One leg raised; undefined where that would not do. */
  #byLeg(parts: readonly number[]): TakingOut | undefined {
    const only = parts.length === 1 ? this.#board.parts[parts[0] as number] : undefined;
    if (only === undefined || !this.#clock.canLiftLeg(only)) return undefined;
    const pin = only.pins[1] as number;
    const state = withLifted(this.#state, [pin]);
    return { ...this.#priced(parts, state, this.#clock.liftLeg(only)), pin };
  }

  #whole(parts: readonly number[]): TakingOut {
    const minutes = this.#clock.remove(parts, this.#state);
    const desoldered = parts.filter((part) => this.#board.parts[part]?.kind.link !== true);
    const harm = this.#healthyPartMinutes * desoldered.length;
    return this.#priced(parts, withOff(this.#state, parts), minutes, harm);
  }

  #priced(parts: readonly number[], state: BoardState, out: number, harm = 0): TakingOut {
    const minutes = out + this.#clock.beep;
    const later = this.#clock.replace(parts, state) - this.#clock.replace(parts, this.#state);
    const undoMinutes = this.#clock.fit(parts, state) + harm;
    return { state, minutes, undoMinutes, aheadMinutes: minutes + later };
  }

  #inCircuit(part: number): boolean {
    const pins = this.#board.parts[part]?.pins ?? [];
    return (
      !this.#state.off.has(part) && pins.filter((pin) => !this.#state.lifted.has(pin)).length > 1
    );
  }

  /** Pairs that read joined although a healthy board would not, latest first; what a lift is judged by. */
  #askedPairs(): (readonly [number, number])[] {
    const pairs: (readonly [number, number])[] = [];
    const seen = new Set<string>();
    const { observations } = this.#beliefs.problem;
    for (const observation of [...observations].reverse()) {
      const joined = observation.entries.some(
        ({ value }) => value.kind === 'beep' || (value.kind === 'ohms' && value.ohms < 100),
      );
      const key = `${observation.a}-${observation.b}`;
      if (!joined || seen.has(key)) continue;
      seen.add(key);
      const needsFault = this.#hypotheses.some(
        ({ units, weight }) => units.length > 0 && weight > 0.01,
      );
      if (needsFault) pairs.push(this.#within([observation.a, observation.b]));
    }
    return pairs.slice(0, 4);
  }

  /** The same pair where probes can be put, as far as links lead there. */
  #within(pair: readonly [number, number]): readonly [number, number] {
    if (!this.#offers.isRestricted) return pair;
    const [a, b] = pair.map((net) => this.#offers.netFor(net) ?? net);
    return a === undefined || b === undefined || a === b ? pair : [a, b];
  }

  /** Low-ohm parts (links, fuses, beads, shunts) on the easiest way of a hypothesis. */
  #linksOnWay(hypothesis: Hypothesis, asked: readonly (readonly [number, number])[]): number[] {
    const { circuit, universe } = this.#beliefs.problem;
    const world = worldOf(circuit, universe, this.#state, hypothesis.faults);
    const own = world.view.network.branches.length;
    const found = new Set<number>();
    for (const [a, b] of asked) {
      for (const branch of pathThrough(world, a, b)?.branches ?? []) {
        if (branch >= own) continue;
        const element = circuit.elements[world.view.elementOf[branch] as number];
        if (element !== undefined && this.#inCircuit(element.part)) found.add(element.part);
      }
    }
    return [...found];
  }

  /** Ends of suspected faults and of the pairs asked about, heaviest first. */
  #netsInPlay(): number[] {
    const weight = new Map<number, number>();
    const handiest = handiestNets(this.#board, this.#beliefs.problem.circuit.view(this.#state));
    const placeOf = (net: number): number => {
      const handy = handiest[net] as number;
      return this.#offers.isRestricted ? (this.#offers.netFor(handy) ?? handy) : handy;
    };
    const addExact = (net: number, w: number): void => {
      weight.set(net, (weight.get(net) ?? 0) + w);
    };
    const add = (net: number, w: number): void => addExact(placeOf(net), w);
    for (const hypothesis of this.#hypotheses) {
      for (const id of hypothesis.accused) {
        const fault = this.#beliefs.problem.universe.faults[id] as Fault;
        for (const { a, b } of fault.branches) {
          add(a, hypothesis.weight);
          add(b, hypothesis.weight);
        }
        // An open shows across the part itself, never on one side of it.
        if (fault.pin >= 0) addExact(this.#board.pins[fault.pin]?.net ?? 0, hypothesis.weight);
        if (fault.opensPart) {
          for (const { part } of fault.members) {
            for (const pin of this.#board.parts[part]?.pins ?? []) {
              addExact(this.#board.pins[pin]?.net ?? 0, hypothesis.weight);
            }
          }
        }
      }
    }
    for (const [a, b] of this.#askedPairs()) {
      add(a, 0.5);
      add(b, 0.5);
    }
    return [...weight]
      .sort((x, y) => y[1] - x[1] || x[0] - y[0])
      .slice(0, MOST_NETS)
      .map(([net]) => net);
  }
}
