import type { Circuit } from '../circuit/circuit.ts';
import type { Meter } from '../circuit/meter.ts';
import { type BoardState, stateKey } from '../circuit/state.ts';
import { type AskedParts, askedParts } from './asked-parts.ts';
import { changedFaults } from './changed-faults.ts';
import type { Evidence } from './evidence.ts';
import type { Fault } from './fault.ts';
import type { FaultLists } from './fault-lists.ts';
import { type FoundFaults, foundFaults, likelyAmong } from './found-faults.ts';
import { copperFaults, type Loose, numbered } from './loose-faults.ts';
import { ownEvidence } from './own-evidence.ts';
import type { Priors } from './priors.ts';
import { Roomy } from './roomy.ts';
import type { FaultSettings } from './settings.ts';
import type { ShortTable } from './short-table.ts';
import { allOf, type Progress, type Sliced } from './sliced.ts';
import { States, touchedParts } from './state-faults.ts';

/** Every fault the readings could speak of, with its chance before the readings from the pads. */
export interface Universe {
  /** By number; at some numbers stands nothing that could be there, with no members. */
  readonly faults: readonly Fault[];
  /** By part and by pin. */
  readonly lists: FaultLists;
  /** By net: ids of faults with a branch on it. */
  readonly byNet: readonly (readonly number[])[];
  /** By fault: its group, its bank (−1: none), and its chance without and with a failure of the bank. */
  readonly group: Int32Array;
  readonly bank: Int32Array;
  readonly alone: Float64Array;
  readonly jointly: Float64Array;
  /** By fault: chance before any decision. */
  readonly before: Float64Array;
  /** Ids of the faults likely enough to be there together with others. */
  readonly likely: readonly number[];
  /** By fault: 1 when it acts on the board as it came in. */
  readonly actsAsFound: Uint8Array;
  /** By group, and by bank: ids of the faults in it; a fault of copper is a group by itself. */
  readonly ofGroup: readonly (readonly number[])[];
  readonly ofBank: readonly (readonly number[])[];
  /** Faults of new pieces and of copper, whose acting no touched part tells. */
  readonly later: readonly number[];
  /** Numbers at which something else stands than on the board as it came in, copper left out; ascending. */
  readonly apart: readonly number[];
  /** The shorts of parts as the board came in; worked out once for a board. */
  readonly asFound: () => ShortTable;
  /** By bank: chance of a failure that takes several, after looks and leg readings. */
  readonly bankChance: Float64Array;
  readonly groupCount: number;
}

/**
 * Lists faults for one board. The board as it came in is listed once; after that only the parts that
 * were touched or looked at, and the links that a new pair of points could mean.
 */
export class Universes {
  readonly #circuit: Circuit;
  readonly #priors: Priors;
  readonly #settings: FaultSettings;
  readonly #meter: Meter;
  readonly #partOfPin = (pin: number): number => this.#circuit.board.pins[pin]?.part ?? -1;
  #found: FoundFaults | undefined;
  #key = '';
  #base: Universe | undefined;
  #extending: Extending | undefined;
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
    alongCopper: ReadonlySet<number> = NO_PARTS,
  ): { universe: Universe; states: States } {
    return allOf(this.listing(evidence, asked, alongCopper));
  }

  /**
   * The same in slices. Nothing can be said without it, so being stopped changes nothing.
   * @param alongCopper parts that readings along the copper tell from their like
   */
  *listing(
    evidence: Evidence,
    asked: AskedParts,
    alongCopper: ReadonlySet<number>,
  ): Sliced<{ universe: Universe; states: States }> {
    const states = distinctStates(evidence);
    const single = `${[...asked.parts].join(',')}#${[...alongCopper].join(',')}`;
    const key = `${states.map(stateKey).join(';')}#${ownKey(evidence)}#${single}`;
    if (this.#base === undefined || this.#extending === undefined || key !== this.#key) {
      this.#base = yield* this.#build(evidence, states, asked, alongCopper);
      this.#extending = new Extending(this.#base);
      this.#baseStates = new States(this.#base, this.#partOfPin);
      this.#key = key;
    }
    const universe = this.#extending.with(copperFaults(evidence, this.#settings));
    return { universe, states: new States(universe, this.#partOfPin, this.#baseStates) };
  }

  *#build(
    evidence: Evidence,
    states: readonly BoardState[],
    asked: AskedParts,
    alongCopper: ReadonlySet<number>,
  ): Sliced<Universe> {
    const sources = {
      circuit: this.#circuit,
      priors: this.#priors,
      settings: this.#settings,
      asked: asked.parts,
    };
    yield BEGINNING;
    this.#found ??= foundFaults({ ...sources, asked: new Set() });
    yield BEGINNING;
    return changedFaults(this.#found, {
      ...sources,
      own: ownEvidence(sources, evidence, this.#meter),
      alongCopper,
      states,
      touched: new Set(states.flatMap((state) => [...touchedParts(state, this.#partOfPin)])),
      renewed: evidence.state.piece,
      reflowed: evidence.state.reflowed,
    });
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

const NO_PARTS: ReadonlySet<number> = new Set();
const BEGINNING: Progress = { work: 0, mostWork: 1, leftOut: 1 };

/** States met so far that can tell parts apart, the present one among them. */
function distinctStates(evidence: Evidence): BoardState[] {
  const found = new Map<string, BoardState>();
  for (const reading of evidence.readings) found.set(stateKey(reading.state), reading.state);
  found.set(stateKey(evidence.state), evidence.state);
  return [...found.values()];
}

/** A universe with faults of copper added behind the others, as they come with every pair read. */
class Extending {
  readonly #base: Universe;
  readonly #group: Roomy<Int32Array>;
  readonly #bank: Roomy<Int32Array>;
  readonly #alone: Roomy<Float64Array>;
  readonly #jointly: Roomy<Float64Array>;
  readonly #before: Roomy<Float64Array>;
  readonly #actsAsFound: Roomy<Uint8Array>;

  constructor(base: Universe) {
    this.#base = base;
    this.#group = new Roomy(base.group);
    this.#bank = new Roomy(base.bank);
    this.#alone = new Roomy(base.alone);
    this.#jointly = new Roomy(base.jointly);
    this.#before = new Roomy(base.before);
    this.#actsAsFound = new Roomy(base.actsAsFound);
  }

  with(loose: readonly Loose[]): Universe {
    const base = this.#base;
    const count = base.faults.length;
    const added = loose.map((one, k) => numbered(one, count + k, base.groupCount + k));
    const chances = Float64Array.from(added, ({ chance }) => chance[0]);
    const likely = likelyAmong(chances, chances).map((k) => count + k);
    return {
      ...base,
      faults: base.faults.concat(added),
      group: this.#group.with(added.map(({ group }) => group)),
      bank: this.#bank.with(new Int32Array(added.length).fill(-1)),
      alone: this.#alone.with(chances),
      jointly: this.#jointly.with(chances),
      before: this.#before.with(chances),
      likely: base.likely.concat(likely),
      byNet: byNetWith(base, added),
      ofGroup: base.ofGroup.concat(added.map(({ id }) => [id])),
      // What is added stands in `later` and is asked for every state.
      actsAsFound: this.#actsAsFound.with(new Uint8Array(added.length)),
      later: [...base.later, ...added.map(({ id }) => id)],
      groupCount: base.groupCount + added.length,
    };
  }
}

function byNetWith(base: Universe, added: readonly Fault[]): Universe['byNet'] {
  const addedAt = new Map<number, number[]>();
  for (const { id, branches } of added) {
    for (const net of new Set(branches.flatMap(({ a, b }) => [a, b]))) {
      const held = addedAt.get(net);
      if (held === undefined) addedAt.set(net, [id]);
      else held.push(id);
    }
  }
  const byNet = base.byNet.slice();
  for (const [net, ids] of addedAt) byNet[net] = (byNet[net] as readonly number[]).concat(ids);
  return byNet;
}
