import type { View } from '../circuit/circuit.ts';
import { reach } from '../circuit/conduction.ts';
import type { Branch } from '../circuit/network.ts';
import type { Probe } from '../circuit/reading.ts';
import type { BoardState } from '../circuit/state.ts';
import type { Beliefs } from '../faults/beliefs.ts';
import { actsOn, type Fault } from '../faults/fault.ts';
import { pairKey } from '../faults/observation.ts';

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
const LEAST_TOLD_OHMS = 1;
const NEGLIGIBLE_CHANCE = 1e-6;
const HIDDEN_CHANCE = 0.001;

interface Group {
  readonly probe: Probe;
  readonly faults: Set<number>;
}

/** Groups what may still be wrong, unseen, by the reading that would show it. */
export function surveyOf(beliefs: Beliefs, state: BoardState): Survey {
  const sorter = new Sorter(beliefs, state);
  for (const fault of beliefs.problem.universe.faults) sorter.take(fault);
  return sorter.survey();
}

class Sorter {
  readonly #beliefs: Beliefs;
  readonly #state: BoardState;
  readonly #view: View;
  readonly #taken: ReadonlySet<string>;
  readonly #groups = new Map<string, Group>();
  readonly #hidden = new Map<number, number>();
  readonly #near = new Map<number, ReadonlyMap<number, number>>();

  constructor(beliefs: Beliefs, state: BoardState) {
    this.#beliefs = beliefs;
    this.#state = state;
    this.#view = beliefs.problem.circuit.view(state);
    this.#taken = new Set(beliefs.problem.observations.map(({ pairKey }) => pairKey));
  }

  take(fault: Fault): void {
    const chance = this.#beliefs.chance[fault.id] as number;
    if (chance < NEGLIGIBLE_CHANCE || !actsOn(fault, this.#state)) return;
    if (fault.what !== 'part' && fault.what !== 'joint') return;
    const { lifted } = this.#state;
    const shorts = fault.branches.filter(
      ({ pinA, pinB, ohms }) =>
        !lifted.has(pinA) && !lifted.has(pinB) && ohms <= this.#beliefs.problem.meter.beepOhms,
    );
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
    const healthy = network.resistance(a, b);
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
      near = reach(this.#view, [], net, SURE_BEEP_RATIO * this.#beliefs.problem.meter.beepOhms);
      this.#near.set(net, near);
    }
    return near;
  }

  /** A fuse or link gone open shows as a missing beep across it. */
  #takeOpen(fault: Fault): void {
    if (!fault.opensPart) return;
    const { circuit, meter } = this.#beliefs.problem;
    const part = fault.members[0]?.part ?? -1;
    const element = circuit.elements.find((e) => e.part === part);
    if (element === undefined || element.ohms > 0.2 * meter.beepOhms) return;
    const { netA, netB, ohms } = element;
    const isOnlyWay = this.#view.network.resistance(netA, netB) > ohms * (1 - 1e-6);
    if (isOnlyWay) this.#add('continuity', netA, netB, fault);
  }

  #add(mode: 'continuity' | 'ohms', a: number, b: number, fault: Fault): void {
    const [x, y] = a < b ? [a, b] : [b, a];
    const key = `${mode} ${x} ${y}`;
    let group = this.#groups.get(key);
    if (group === undefined) {
      if (this.#taken.has(pairKey(x, y, this.#state))) return;
      group = { probe: { mode, red: { net: x }, black: { net: y } }, faults: new Set() };
      this.#groups.set(key, group);
    }
    group.faults.add(fault.id);
  }

  survey(): Survey {
    const { universe, circuit } = this.#beliefs.problem;
    const chanceOf = (ids: Iterable<number>): number => {
      let sum = 0;
      for (const id of ids) sum += this.#beliefs.chance[id] as number;
      return sum;
    };
    const pads = (net: number): number => circuit.board.nets[net]?.pins.length ?? 0;
    const readable = new Set<number>();
    const readings = [...this.#groups.values()].map(({ probe, faults }): SurveyReading => {
      for (const id of faults) readable.add(id);
      const parts = [...faults].flatMap(
        (id) => universe.faults[id]?.members.map((m) => m.part) ?? [],
      );
      return { probe, faults: chanceOf(faults), parts: [...new Set(parts)] };
    });
    // Of readings that say the same, the one on the nets with most pads is the easiest to take.
    const handy = ({ probe }: SurveyReading): number => pads(probe.red.net) + pads(probe.black.net);
    readings.sort((x, y) => y.faults - x.faults || handy(y) - handy(x));
    return {
      readings: readings.slice(0, MOST_READINGS),
      unread: chanceOf(readable),
      hidden: [...this.#hidden]
        .filter(([, chance]) => chance > HIDDEN_CHANCE)
        .map(([part]) => part),
    };
  }
}

/** More than anyone looks at. */
const MOST_READINGS = 50;
