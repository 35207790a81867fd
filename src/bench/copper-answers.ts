import type { Board } from '../board/model.ts';
import type { PartModel } from '../circuit/elements.ts';
import type { Branch, Network } from '../circuit/network.ts';
import type { Point, Probe, ReadingValue } from '../circuit/reading.ts';
import type { BoardState } from '../circuit/state.ts';
import { HiddenCopper } from './hidden-copper.ts';
import { Random } from './random.ts';
import type { HiddenFault } from './simulated-bench.ts';

/** What a milliohm meter of the bench shows: steps of 0.1 mΩ, noise below that, a gain kept for the job. */
const STEP_OHMS = 1e-4;
const NOISE_OHMS = 0.5e-4;
/** The same of a millivoltmeter, V. */
const STEP_VOLTS = 1e-5;
const NOISE_VOLTS = 0.5e-5;
/** Above this copper is nothing to a reading, and junctions may be something. */
const MOST_OHMS = 30;

/** Readings along the copper of a simulated board. */
export class CopperAnswers {
  readonly #board: Board;
  readonly #models: readonly PartModel[];
  readonly #seed: number;
  readonly #random: Random;
  readonly #gain: number;
  #copper: HiddenCopper | undefined;
  #kept: { readonly state: BoardState; readonly network: Network } | undefined;

  /** @param gainRatio standard deviation of the meter's gain, a ratio */
  constructor(
    board: Board,
    models: readonly PartModel[],
    from: { seed: number; gainRatio: number },
  ) {
    this.#board = board;
    this.#models = models;
    this.#seed = from.seed;
    this.#random = new Random(from.seed * 613 + 5);
    this.#gain = 1 + from.gainRatio * this.#random.normal();
  }

  /** What is shown, or undefined where a reading of the nets does as well: no copper between, or kilohms. */
  answer(
    probe: Probe,
    faults: readonly HiddenFault[],
    state: BoardState,
  ): ReadingValue | undefined {
    // The copper of a large net takes long to draw, and other readings never see it.
    const isAlongCopper = probe.mode === 'millivolts' || probe.mode === 'four-wire';
    if (probe.offPart !== undefined || !isAlongCopper) return undefined;
    const [red, black] = [this.#padOf(probe.red), this.#padOf(probe.black)];
    if (red === undefined || black === undefined) return undefined;
    const network = this.#under(faults, state);
    if (probe.mode === 'millivolts') return this.#millivolts(probe, network, [red, black]);
    const ohms = network.resistanceOnce(red, black);
    if (ohms > MOST_OHMS) return undefined;
    const read = ohms * this.#gain + NOISE_OHMS * this.#random.normal();
    return { kind: 'ohms', ohms: inSteps(Math.max(0, read), STEP_OHMS) };
  }

  #millivolts(
    { injected }: Probe,
    network: Network,
    [red, black]: readonly [number, number],
  ): ReadingValue {
    const [from, to] = injected ? [this.#padOf(injected.red), this.#padOf(injected.black)] : [];
    if (injected === undefined || from === undefined || to === undefined) {
      throw new RangeError('a reading in millivolts needs a current sent in at two pads');
    }
    // A current that finds no way leaves all copper at the voltage of the supply's own lead.
    const flows = network.island[from] === network.island[to];
    const volts = flows ? network.allVoltages(from, to, []) : undefined;
    const across = (volts?.[red] ?? 0) - (volts?.[black] ?? 0);
    const shown = injected.amps * (Number.isFinite(across) ? across : 0) * this.#gain;
    return {
      kind: 'volts',
      volts: inSteps(shown + NOISE_VOLTS * this.#random.normal(), STEP_VOLTS),
    };
  }

  #padOf(point: Point): number | undefined {
    return this.#hidden.padOf(point);
  }

  get #hidden(): HiddenCopper {
    this.#copper ??= new HiddenCopper(this.#board, this.#seed);
    return this.#copper;
  }

  #under(faults: readonly HiddenFault[], state: BoardState): Network {
    if (this.#kept?.state !== state) {
      this.#kept = { state, network: this.#hidden.withParts(this.#parts(faults, state)) };
    }
    return this.#kept.network;
  }

  /** What joins pads: parts on the board, as they are, and what has failed. */
  #parts(faults: readonly HiddenFault[], { off, lifted }: BoardState): Branch[] {
    const isOn = (pin: number): boolean => !lifted.has(pin);
    const open = new Set(faults.filter(({ opens }) => opens).map(({ part }) => part));
    const healthy = this.#models
      .filter(({ part }) => !off.has(part) && !open.has(part))
      .flatMap((model) => model.healthy);
    const toNets = faults.flatMap(({ netJoins }) =>
      netJoins.flatMap(({ pin, net, ohms }) => {
        const pad = this.#padOf({ net });
        return pad === undefined ? [] : [{ a: pin, b: pad, ohms }];
      }),
    );
    return [...healthy, ...faults.flatMap(({ joins }) => joins), ...toNets].filter(
      ({ a, b }) => isOn(a) && isOn(b),
    );
  }
}

function inSteps(value: number, step: number): number {
  return Math.round(value / step) / Math.round(1 / step);
}
