import type { Board } from '../board/model.ts';
import type { Circuit } from '../circuit/circuit.ts';
import type { Meter } from '../circuit/meter.ts';
import { AS_FOUND, type BoardState, stateKey } from '../circuit/state.ts';
import { type AskedParts, askedParts } from './asked-parts.ts';
import type { Evidence } from './evidence.ts';
import { actsOn, type Fault } from './fault.ts';
import { copperFaults, jointFaults, type Loose } from './loose-faults.ts';
import { ownEvidence } from './own-evidence.ts';
import { type Plain, pieceFaults } from './piece-faults.ts';
import type { Priors } from './priors.ts';
import type { FaultSettings } from './settings.ts';
import { allOf, type Progress, type Sliced } from './sliced.ts';
import { States, touchedParts } from './state-faults.ts';

/** Lists of ids by number of a part or pin. */
export class Lists {
  readonly #lists: (number[] | undefined)[] = [];

  get(key: number): readonly number[] | undefined {
    return this.#lists[key];
  }

  add(key: number, id: number): void {
    const held = this.#lists[key];
    if (held === undefined) this.#lists[key] = [id];
    else held.push(id);
  }
}

/** Every fault the readings could speak of, with its chance before the readings from the pads. */
export interface Universe {
  readonly faults: readonly Fault[];
  /** By net: ids of faults with a branch on it. */
  readonly byNet: readonly (readonly number[])[];
  /** By pin: ids of its joint faults, one for each time it was reflowed and one for as found. */
  readonly jointsOf: Lists;
  /** By part: ids of the faults that open it. */
  readonly opensOf: Lists;
  /** By part: ids of all faults that may mean it. */
  readonly ofPart: Lists;
  /** By fault: its group, its bank (−1: none), and its chance without and with a failure of the bank. */
  readonly group: Int32Array;
  readonly bank: Int32Array;
  readonly alone: Float64Array;
  readonly jointly: Float64Array;
  /** By fault: chance before any decision. */
  readonly before: Float64Array;
  /** Ids of the faults of at least {@link LIKELY_CHANCE}, in a failure of their bank or out of it. */
  readonly likely: readonly number[];
  /** By fault: 1 when it acts on the board as it came in. */
  readonly actsAsFound: Uint8Array;
  /** By group, and by bank: ids of the faults in it; a fault of copper is a group by itself. */
  readonly ofGroup: readonly (readonly number[])[];
  readonly ofBank: readonly (readonly number[])[];
  /** Faults of new pieces and of copper, whose acting no touched part tells. */
  readonly later: readonly number[];
  /** By bank: chance of a failure that takes several, after looks and leg readings. */
  readonly bankChance: Float64Array;
  readonly groupCount: number;
}

export const LIKELY_CHANCE = 0.005;

/**
 * Builds universes for one board. Between two changes of the board only the links that a new pair
 * of points could mean are added; the rest is kept.
 */
export class Universes {
  readonly #circuit: Circuit;
  readonly #priors: Priors;
  readonly #settings: FaultSettings;
  readonly #meter: Meter;
  readonly #partOfPin = (pin: number): number => this.#circuit.board.pins[pin]?.part ?? -1;
  readonly #plain: (Plain | undefined)[] = [];
  #key = '';
  #base: Universe | undefined;
  #baseStates: States | undefined;

  constructor(circuit: Circuit, priors: Priors, settings: FaultSettings, meter: Meter) {
    this.#circuit = circuit;
    this.#priors = priors;
    this.#settings = settings;
    this.#meter = meter;
  }

  /** The faults for what is known so far, and under the states of the board; parts that nothing tells apart are merged. */
  for(
    evidence: Evidence,
    asked: AskedParts = askedParts(this.#circuit, evidence.readings),
  ): { universe: Universe; states: States } {
    return allOf(this.listing(evidence, asked));
  }

  /** The same in slices. Nothing can be said without it, so being stopped changes nothing. */
  *listing(evidence: Evidence, asked: AskedParts): Sliced<{ universe: Universe; states: States }> {
    const states = distinctStates(evidence);
    const key = `${states.map(stateKey).join(';')}#${ownKey(evidence)}#${[...asked.parts].join(',')}`;
    if (this.#base === undefined || key !== this.#key) {
      this.#base = yield* this.#build(evidence, states, asked);
      this.#baseStates = new States(this.#base, this.#partOfPin);
      this.#key = key;
    }
    const universe = extend(this.#base, copperFaults(evidence, this.#settings));
    return { universe, states: new States(universe, this.#partOfPin, this.#baseStates) };
  }

  *#build(evidence: Evidence, states: readonly BoardState[], asked: AskedParts): Sliced<Universe> {
    const { board } = this.#circuit;
    const sources = {
      circuit: this.#circuit,
      priors: this.#priors,
      settings: this.#settings,
      asked: asked.parts,
    };
    const own = ownEvidence(sources, evidence, this.#meter);
    const { faults, bankChance, groupCount } = pieceFaults({
      ...sources,
      own,
      states,
      touched: new Set(states.flatMap((state) => [...touchedParts(state, this.#partOfPin)])),
      renewed: evidence.state.piece,
      plain: this.#plain,
    });
    yield BEGINNING;
    const joints = jointFaults(board, this.#priors, evidence, own);
    const all = faults.concat(numbered(joints, faults.length, groupCount));
    yield BEGINNING;
    return index(board, all, bankChance, groupCount + joints.length);
  }
}

/**
 * Equal for evidence that says the same of single parts. By content: two jobs on one board number
 * their looks alike.
 */
function ownKey({ looks, readings }: Evidence): string {
  const seen = looks.map(({ state, ...look }) => [look, stateKey(state)]);
  const legs = readings
    .filter(({ offPart }) => offPart !== undefined)
    .map(({ state, ...reading }) => [reading, stateKey(state)]);
  return JSON.stringify([seen, legs]);
}

const BEGINNING: Progress = { work: 0, mostWork: 1, leftOut: 1 };

/** States met so far that can tell parts apart, the present one among them. */
function distinctStates(evidence: Evidence): BoardState[] {
  const found = new Map<string, BoardState>();
  for (const reading of evidence.readings) found.set(stateKey(reading.state), reading.state);
  found.set(stateKey(evidence.state), evidence.state);
  return [...found.values()];
}

function numbered(loose: readonly Loose[], from: number, group: number): Fault[] {
  return loose.map((fault, k) => ({ ...fault, id: from + k, group: group + k }));
}

/** A universe with faults of copper added behind the others. */
function extend(base: Universe, loose: readonly Loose[]): Universe {
  const added = numbered(loose, base.faults.length, base.groupCount);
  const byNet = base.byNet.slice() as number[][];
  for (const { id, branches } of added) {
    for (const net of new Set(branches.flatMap(({ a, b }) => [a, b]))) {
      byNet[net] = [...(byNet[net] as number[]), id];
    }
  }
  const actsAsFound = new Uint8Array(base.faults.length + added.length);
  actsAsFound.set(base.actsAsFound);
  const chances = Float64Array.from(added, ({ chance }) => chance[0]);
  return {
    ...base,
    faults: base.faults.concat(added),
    group: longer(
      base.group,
      Int32Array.from(added, ({ group }) => group),
    ),
    bank: longer(base.bank, new Int32Array(added.length).fill(-1)),
    alone: longer(base.alone, chances),
    jointly: longer(base.jointly, chances),
    before: longer(base.before, chances),
    likely: base.likely.concat(likelyOf(added)),
    byNet,
    ofGroup: base.ofGroup.concat(added.map(({ id }) => [id])),
    actsAsFound, // what is added stands in `later` and is asked for every state
    later: [...base.later, ...added.map(({ id }) => id)],
    groupCount: base.groupCount + added.length,
  };
}

function longer<T extends Int32Array | Float64Array>(first: T, more: T): T {
  const all = new (first.constructor as new (length: number) => T)(first.length + more.length);
  all.set(first);
  all.set(more, first.length);
  return all;
}

function index(
  board: Board,
  faults: readonly Fault[],
  bankChance: Float64Array,
  groupCount: number,
): Universe {
  const byNet: number[][] = board.nets.map(() => []);
  const jointsOf = new Lists();
  const opensOf = new Lists();
  const ofPart = new Lists();
  for (const fault of faults) {
    for (const { a, b } of fault.branches) {
      append(byNet[a] as number[], fault.id);
      append(byNet[b] as number[], fault.id);
    }
    if (fault.what === 'joint') jointsOf.add(fault.pin, fault.id);
    for (const { part } of fault.members) {
      ofPart.add(part, fault.id);
      if (fault.opensPart) opensOf.add(part, fault.id);
    }
  }
  const actsAsFound = Uint8Array.from(faults, (fault) => (actsOn(fault, AS_FOUND) ? 1 : 0));
  const later = faults
    .filter((fault) => fault.piece > 0 || (fault.what !== 'part' && fault.what !== 'joint'))
    .map((fault) => fault.id);
  const before = Float64Array.from(faults, ({ chance, bank }) => {
    const together = bank < 0 ? 0 : (bankChance[bank] as number);
    return (1 - together) * chance[0] + together * chance[1];
  });
  return {
    faults,
    group: Int32Array.from(faults, ({ group }) => group),
    bank: Int32Array.from(faults, ({ bank }) => bank),
    alone: Float64Array.from(faults, ({ chance }) => chance[0]),
    jointly: Float64Array.from(faults, ({ chance }) => chance[1]),
    before,
    likely: likelyOf(faults),
    byNet,
    ofGroup: collect(faults, groupCount, (fault) => fault.group),
    ofBank: collect(faults, bankChance.length, (fault) => fault.bank),
    jointsOf,
    opensOf,
    ofPart,
    actsAsFound,
    later,
    bankChance,
    groupCount,
  };
}

function likelyOf(faults: readonly Fault[]): number[] {
  const isLikely = ({ chance }: Fault): boolean => Math.max(...chance) >= LIKELY_CHANCE;
  return faults.filter(isLikely).map(({ id }) => id);
}

function collect(
  faults: readonly Fault[],
  count: number,
  key: (fault: Fault) => number,
): readonly (readonly number[])[] {
  const lists: number[][] = Array.from({ length: count }, () => []);
  for (const fault of faults) lists[key(fault)]?.push(fault.id);
  return lists;
}

/** Faults come one after the other, so a repeat can only be the last one. */
function append(list: number[], id: number): void {
  if (list[list.length - 1] !== id) list.push(id);
}
