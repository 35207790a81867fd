import type { Board } from '../board/model.ts';
import type { Circuit } from '../circuit/circuit.ts';
import type { GoodShown } from '../circuit/good-board.ts';
import { type Prediction, shownOhms, shownVolts } from '../circuit/likelihood.ts';
import type { Meter } from '../circuit/meter.ts';
import type { MeterMode, Reading, ReadingValue } from '../circuit/reading.ts';
import { AS_FOUND, netPairKey } from '../circuit/state.ts';
import { predict, worldOf } from './world.ts';

/** A reading of a good board between two nets. */
export interface GoodReading {
  /** Names of nets, red first. */
  readonly red: string;
  readonly black: string;
  readonly mode: MeterMode;
  readonly value: ReadingValue;
}

/** A beep is told by ohms of a good board that are no more than this many thresholds. */
const BEEP_REACH = 5;

/** What a good board of the same kind read, pair by pair. */
export class GoodBoard {
  readonly #circuit: Circuit;
  readonly #meter: Meter;
  readonly #read = new Map<string, number>();
  readonly #readings = new Map<string, Reading>();
  readonly #foreseen = new Map<string, Prediction>();

  /** Readings at nets the board does not have are passed over; of several at one place the last counts. */
  constructor(circuit: Circuit, meter: Meter, readings: readonly GoodReading[]) {
    this.#circuit = circuit;
    this.#meter = meter;
    for (const reading of readings) {
      const at = placeOf(circuit.board, reading);
      const shown = shownBy(reading.value);
      if (at === undefined || shown === undefined) continue;
      this.#read.set(at, shown);
      this.#readings.set(at, inNumbers(circuit.board, reading));
    }
  }

  /**
   * What it read where a reading was taken, beside what the board file foresees of a board without faults,
   * all parts on; undefined where nobody read it.
   */
  of({ red, black, mode, value }: Reading): GoodShown | undefined {
    if (this.#read.size === 0 || red.net === black.net) return undefined;
    if (mode === 'continuity') return this.#ofBeep(red.net, black.net);
    const read = this.#read.get(keyOf(red.net, black.net, mode));
    if (read === undefined) return undefined;
    const healthy = this.#healthy(red.net, black.net);
    if (mode === 'diode') return { read, foreseen: shownVolts(this.#meter, healthy, false) };
    const measured = value.kind === 'ohms' ? value.ohms : Number.POSITIVE_INFINITY;
    const foreseen = shownOhms(this.#meter, mode, measured, healthy, false);
    return {
      read,
      foreseen: foreseen > this.#meter.rangeOhms ? Number.POSITIVE_INFINITY : foreseen,
    };
  }

  /** All that was read of it between two nets. */
  between(a: number, b: number): Reading[] {
    return [...this.#readings.values()].filter(({ red, black }) => {
      return netPairKey(red.net, black.net) === netPairKey(a, b);
    });
  }

  /** Ω that the good board shows where it shows little; undefined elsewhere. */
  lowOhms(a: number, b: number): number | undefined {
    const read = this.#read.get(keyOf(a, b, 'ohms'));
    return read !== undefined && read < BEEP_REACH * this.#meter.beepOhms ? read : undefined;
  }

  #ofBeep(a: number, b: number): GoodShown | undefined {
    const read = this.lowOhms(a, b);
    return read === undefined ? undefined : { read, foreseen: this.#healthy(a, b).ohms };
  }

  #healthy(a: number, b: number): Prediction {
    const key = `${a} ${b}`;
    let known = this.#foreseen.get(key);
    if (known === undefined) {
      known = predict(worldOf(this.#circuit, { faults: [] }, AS_FOUND, []), a, b);
      this.#foreseen.set(key, known);
    }
    return known;
  }
}

function inNumbers(board: Board, { red, black, mode, value }: GoodReading): Reading {
  const point = (name: string): Reading['red'] => ({ net: board.netNamed.get(name)?.index ?? -1 });
  return { red: point(red), black: point(black), mode, value };
}

function placeOf(board: Board, { red, black, mode }: GoodReading): string | undefined {
  const [one, other] = [red, black].map((name) => board.netNamed.get(name)?.index);
  if (one === undefined || other === undefined) return undefined;
  return mode === 'ohms' || mode === 'diode' ? keyOf(one, other, mode) : undefined;
}

/** A diode test is told by its polarity, ohms are not. */
function keyOf(red: number, black: number, mode: MeterMode): string {
  return mode === 'diode' ? `${red}>${black}` : `${netPairKey(red, black)} ${mode}`;
}

function shownBy(value: ReadingValue): number | undefined {
  switch (value.kind) {
    case 'ohms':
      return Math.max(value.ohms, 1e-3);
    case 'volts':
      return value.volts;
    case 'over':
      return Number.POSITIVE_INFINITY;
    default:
      return undefined;
  }
}
