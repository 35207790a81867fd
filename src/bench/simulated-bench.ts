import type { Board } from '../board/model.ts';
import { Circuit, netOf } from '../circuit/circuit.ts';
import type { PartMode, PinResistance } from '../circuit/elements.ts';
import { withJunctions } from '../circuit/lit.ts';
import { COMMON_HANDHELD, type Meter } from '../circuit/meter.ts';
import { type Branch, Network } from '../circuit/network.ts';
import type { MoreMode, NetJoin, PinJunction } from '../circuit/part-model.ts';
import type { Probe, ReadingValue } from '../circuit/reading.ts';
import { shownOn } from '../circuit/shown.ts';
import { linearOhms, type Sight } from '../circuit/sight.ts';
import type { BoardState } from '../circuit/state.ts';
import { TURNED_MODE, turnedMode } from '../circuit/turned.ts';
import type { FaultName } from '../faults/diagnosis.ts';
import type { LookFinding } from '../faults/evidence.ts';
import { MARK_CHANCE } from '../faults/own-evidence.ts';
import { priorsOf } from '../faults/priors.ts';
import { DEFAULT_FAULT_SETTINGS } from '../faults/settings.ts';
import { CopperAnswers } from './copper-answers.ts';
import { type HiddenLoad, hiddenLoads } from './hidden-loads.ts';
import { Random } from './random.ts';

export interface SimulationOptions {
  readonly seed: number;
  /** How many faults to hide, beside those a bank failure brings along. */
  readonly faults: number;
  /** Faults to hide instead of drawing any: part name and mode as the catalogue names it. */
  readonly these?: readonly {
    readonly part: string;
    readonly mode: string;
    /** Which piece in the part's place: 0, the one found, or a later one. Default 0. */
    readonly piece?: number;
    /** Ω of the path the fault makes; default: drawn as usual. */
    readonly ohms?: number;
  }[];
  /** Share of readings that are slips; default 0. */
  readonly slipRatio?: number;
  readonly meter?: Meter;
  /**
   * Ohms of faults and noise of readings spread as the catalogue and the meter state; default: narrower,
   * so that a drill's faults are heard.
   */
  readonly isFaithful?: boolean;
  /** ICs and unknown parts conduct between their pins what nobody told the engine; default: nothing. */
  readonly hasLoads?: boolean;
}

/** A fault that is really there. */
export interface HiddenFault {
  readonly part: number;
  readonly mode: string;
  readonly piece: number;
  readonly opens: boolean;
  readonly joins: readonly PinResistance[];
  readonly netJoins: readonly NetJoin[];
  readonly junctions: readonly PinJunction[];
}

/** Chance that a bank mate of a shorted part has failed alike. */
const MATE_CHANCE = 0.35;

/** True when the piece that the fault is in is the one in the part's place. */
function isInPlace({ part, piece }: HiddenFault, state: BoardState): boolean {
  return (state.piece.get(part) ?? 0) === piece;
}

/** A board with hidden faults, and a meter that reads it. */
export class SimulatedBench {
  readonly board: Board;
  readonly faults: readonly HiddenFault[];
  readonly #circuit: Circuit;
  readonly #meter: Meter;
  readonly #random: Random;
  readonly #copper: CopperAnswers;
  readonly #seed: number;
  readonly #slipRatio: number;
  readonly #isFaithful: boolean;
  readonly #loads: readonly HiddenLoad[];

  constructor(board: Board, options: SimulationOptions) {
    this.board = board;
    this.#circuit = new Circuit(board);
    this.#meter = options.meter ?? COMMON_HANDHELD;
    this.#seed = options.seed;
    this.#random = new Random(options.seed * 7919 + 17);
    const { seed } = options;
    const { gainRatio } = this.#meter;
    this.#copper = new CopperAnswers(board, this.#circuit.models, { seed, gainRatio });
    this.#slipRatio = options.slipRatio ?? 0;
    this.#isFaithful = options.isFaithful ?? false;
    this.#loads = options.hasLoads === true ? hiddenLoads(board, seed) : [];
    this.faults = options.these?.map((one) => this.#named(one)) ?? this.#hide(options.faults);
  }

  /** The hidden faults as people name them; shown when a drill ends. */
  get hidden(): FaultName[] {
    return this.faults.map(({ part, mode }) => ({ what: 'part', parts: [part], mode }));
  }

  /** Parts that really are faulty. */
  get faultyParts(): Set<number> {
    return new Set(this.faults.map(({ part }) => part));
  }

  #named(named: NonNullable<SimulationOptions['these']>[number]): HiddenFault {
    const { part, mode, piece = 0, ohms } = named;
    const found = this.board.partNamed.get(part);
    const model = this.#circuit.models[found?.index ?? -1];
    if (found === undefined || model === undefined) throw new RangeError(`there is no ${part}`);
    const turned = turnedMode(this.board, found, model);
    const modes = [...model.modes, ...model.moreModes, ...(turned === undefined ? [] : [turned])];
    const meant = modes.find(({ name }) => name === mode);
    if (meant === undefined) throw new RangeError(`${part} has no failed mode "${mode}"`);
    return this.#realize(found.index, meant, { piece, ohms });
  }

  #hide(count: number): HiddenFault[] {
    const priors = priorsOf(this.#circuit, DEFAULT_FAULT_SETTINGS);
    const choices: { part: number; mode: PartMode; chance: number }[] = [];
    for (const model of this.#circuit.models) {
      model.modes.forEach((mode, k) => {
        const chance = priors.modes[model.part]?.[k] ?? 0;
        // A drill is about what a beeper can show: shorts, and links or fuses gone open.
        const beeps =
          mode.joins.length > 0 && mode.joins.every((j) => j.ohms < this.#meter.beepOhms / 4);
        const opensLink =
          mode.opens && model.healthy.some(({ ohms }) => ohms < this.#meter.beepOhms / 4);
        if (beeps || opensLink) choices.push({ part: model.part, mode, chance });
      });
    }
    const found: HiddenFault[] = [];
    for (let n = 0; n < count && choices.length > 0; n++) {
      const choice = choices[this.#random.pick(choices.map((c) => c.chance))];
      if (choice === undefined || found.some(({ part }) => part === choice.part)) continue;
      found.push(this.#realize(choice.part, choice.mode));
      this.#takeMates(choice, found);
    }
    return found;
  }

  #takeMates(choice: { part: number; mode: PartMode }, found: HiddenFault[]): void {
    const bank = this.board.parts[choice.part]?.bank;
    if (bank === undefined || choice.mode.joins.length === 0) return;
    for (const mate of this.board.parts) {
      if (
        mate.bank !== bank ||
        mate.index === choice.part ||
        found.some((f) => f.part === mate.index)
      )
        continue;
      if (this.#random.next() >= MATE_CHANCE) continue;
      const mode = this.#circuit.models[mate.index]?.modes.find((m) => m.name === choice.mode.name);
      if (mode !== undefined) found.push(this.#realize(mate.index, mode));
    }
  }

  #realize(
    part: number,
    mode: PartMode | MoreMode,
    { piece = 0, ohms }: { piece?: number; ohms?: number | undefined } = {},
  ): HiddenFault {
    const width = this.#isFaithful ? 1 : 0.8;
    const most = this.#isFaithful ? Number.POSITIVE_INFINITY : 6;
    const factor = Math.exp(mode.spread * this.#random.normal() * width);
    const drawn = <T extends { readonly ohms: number }>(join: T): T => {
      return { ...join, ohms: ohms ?? Math.min(join.ohms * factor, most) };
    };
    return {
      part,
      mode: mode.name,
      piece,
      opens: mode.opens,
      joins: mode.joins.map(drawn),
      netJoins: (mode.netJoins ?? []).map(drawn),
      junctions: 'junctions' in mode ? mode.junctions : [],
    };
  }

  /** What the meter shows. */
  answer(probe: Probe, state: BoardState): ReadingValue {
    const value =
      this.#copper.answer(probe, this.#acting(state), state) ??
      this.#show(probe, this.#sight(probe, state));
    if (this.#random.next() >= this.#slipRatio) return value;
    return this.#slip(probe, value);
  }

  /** What an eye finds: some failed parts show it, and look the same however often one looks. */
  look(part: number, state: BoardState): LookFinding {
    const failed = this.faults.some((fault) => fault.part === part && isInPlace(fault, state));
    const own = new Random(this.#seed * 31 + part).next();
    return own < MARK_CHANCE.part[failed ? 'failed' : 'sound'] ? 'burnt' : 'looks sound';
  }

  #acting(state: BoardState): HiddenFault[] {
    return this.faults.filter((fault) => isInPlace(fault, state) && !state.off.has(fault.part));
  }

  #sight(probe: Probe, state: BoardState): Sight {
    if (probe.offPart !== undefined) return this.#legs(probe, probe.offPart, state);
    const acting = this.#acting(state);
    const isOn = (pin: number): boolean => !state.lifted.has(pin);
    const opens = {
      parts: new Set(acting.filter((f) => f.opens).map((f) => f.part)),
      pins: new Set<number>(),
      junctions: acting.flatMap(({ part, junctions }) =>
        junctions
          .filter(({ anode, cathode }) => isOn(anode) && isOn(cathode))
          .map((one) => {
            const netA = netOf(this.board, one.anode);
            return { ...one, part, netA, netK: netOf(this.board, one.cathode) };
          }),
      ),
    };
    const added: Branch[] = acting.flatMap(({ joins, netJoins }) => [
      ...joins
        .filter(({ a, b }) => isOn(a) && isOn(b))
        .map(({ a, b, ohms }) => ({ a: netOf(this.board, a), b: netOf(this.board, b), ohms })),
      ...netJoins
        .filter(({ pin }) => isOn(pin))
        .map(({ pin, net, ohms }) => ({ a: netOf(this.board, pin), b: net, ohms })),
    ]);
    // Kilohms beside a beeper's threshold tell nothing.
    if (probe.mode !== 'continuity') added.push(...this.#loadsOn(state, opens.parts));
    const view = this.#circuit.view(state, opens);
    return { view, added, red: probe.red.net, black: probe.black.net };
  }

  #loadsOn({ off, lifted }: BoardState, opened: ReadonlySet<number>): Branch[] {
    const isOn = (pin: number): boolean => !lifted.has(pin);
    return this.#loads
      .filter(({ part, a, b }) => !off.has(part) && !opened.has(part) && isOn(a) && isOn(b))
      .map(({ a, b, ohms }) => ({ a: netOf(this.board, a), b: netOf(this.board, b), ohms }))
      .filter(({ a, b }) => a !== b);
  }

  /** A part off the board: its pins are the nodes. */
  #legs(probe: Probe, part: number, state: BoardState): Sight {
    const pins = this.board.parts[part]?.pins ?? [];
    // How it sits on the board is nothing to its own legs.
    const own = this.faults.filter(
      (fault) => fault.part === part && isInPlace(fault, state) && fault.mode !== TURNED_MODE,
    );
    const model = own.some(({ opens }) => opens) ? undefined : this.#circuit.models[part];
    const place = (pin: number): number => pins.indexOf(pin);
    const between = ({ a, b, ohms }: PinResistance): Branch => ({
      a: place(a),
      b: place(b),
      ohms,
    });
    return {
      view: withJunctions(new Network(pins.length, (model?.healthy ?? []).map(between)), () =>
        [...(model?.junctions ?? []), ...own.flatMap(({ junctions }) => junctions)].map((j) => {
          return { ...j, netA: place(j.anode), netK: place(j.cathode) };
        }),
      ),
      added: own.flatMap(({ joins }) => joins).map(between),
      red: place(probe.red.pin ?? -1),
      black: place(probe.black.pin ?? -1),
    };
  }

  #show(probe: Probe, sight: Sight): ReadingValue {
    const meter = this.#meter;
    const noise = (): number => (this.#isFaithful ? 1 : 0.5) * this.#random.normal();
    if (probe.mode === 'continuity') {
      const threshold = meter.beepOhms * Math.exp(meter.beepSpread * noise());
      return { kind: linearOhms(sight) + meter.leadOhms < threshold ? 'beep' : 'quiet' };
    }
    const { kind, value } = shownOn(meter, probe.mode, sight);
    if (kind === 'over') return { kind: 'over' };
    const read = value * (1 + meter.gainRatio * noise());
    if (kind === 'volts') return { kind: 'volts', volts: Math.max(0, Number(read.toPrecision(4))) };
    const nulled = probe.mode === 'four-wire' ? read : read - meter.leadOhms;
    const ohms = Math.max(0, nulled + meter.contactOhms * noise());
    return { kind: 'ohms', ohms: Number(ohms.toPrecision(4)) };
  }

  /** A slip: the probe was not where it should be. */
  #slip(probe: Probe, value: ReadingValue): ReadingValue {
    if (probe.mode === 'continuity') return { kind: value.kind === 'beep' ? 'quiet' : 'beep' };
    // Red and black swapped.
    if (probe.mode === 'millivolts' && value.kind === 'volts') {
      return { ...value, volts: -value.volts };
    }
    return value.kind === 'over' ? { kind: 'ohms', ohms: 0.3 } : { kind: 'over' };
  }
}
