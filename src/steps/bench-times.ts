import type { Board, Part } from '../board/model.ts';
import type { MeterMode, Probe } from '../circuit/reading.ts';
import type { BoardState } from '../circuit/state.ts';

/** Minutes each kind of work takes. Engineering estimates; a shop measures its own. */
export interface BenchTimes {
  readonly reading: Readonly<Record<MeterMode, number>>;
  /** A part read on its own legs, lying on the bench. */
  readonly legReading: number;
  readonly look: number;
  readonly reflowJoint: number;
  /** One end of a wire link. */
  readonly liftLink: number;
  readonly refitLink: number;
  /** One leg of a two-lead part. */
  readonly liftLeg: number;
  readonly refitLeg: number;
  /** By how the part sits on the board. */
  readonly remove: Readonly<Record<Mount, number>>;
  readonly fit: Readonly<Record<Mount, number>>;
  /** Getting at a heatsink, once for all parts on it; then each further part on it. */
  readonly openHeatsink: number;
  readonly perLeadBeyondThree: number;
}

export type Mount =
  | 'link'
  | 'two leads'
  | 'three leads'
  | 'many leads'
  | 'tab'
  | 'chip'
  | 'small outline'
  | 'fine pitch'
  | 'thermal pad'
  | 'ball grid';

export const DEFAULT_BENCH_TIMES: BenchTimes = {
  reading: {
    continuity: 0.3,
    ohms: 0.5,
    'low-voltage': 0.5,
    diode: 0.5,
    'four-wire': 1.5,
    millivolts: 0.5,
  },
  legReading: 0.4,
  look: 0.5,
  reflowJoint: 1,
  liftLink: 1.5,
  refitLink: 1,
  liftLeg: 2,
  refitLeg: 1.5,
  remove: {
    link: 2,
    'two leads': 3,
    'three leads': 4,
    'many leads': 5,
    tab: 5,
    chip: 1.5,
    'small outline': 2.5,
    'fine pitch': 7,
    'thermal pad': 10,
    'ball grid': 45,
  },
  fit: {
    link: 1.5,
    'two leads': 2.5,
    'three leads': 3,
    'many leads': 4,
    tab: 5,
    chip: 2,
    'small outline': 3,
    'fine pitch': 6,
    'thermal pad': 8,
    'ball grid': 60,
  },
  openHeatsink: 8,
  perLeadBeyondThree: 1,
};

const CHIP =
  /(^|[^0-9])(01005|0201|0402|0603|0805|1206|1210|1808|1812|2010|2220|2512|4020)([^0-9]|$)|SMA\b|SMB\b|SMC\b|SOD-?\d|MELF|D_SM|POWERDI|SMD/i;
const SMALL_OUTLINE = /SOT-?\d|SC-?70|TSOT|SOT\d|PLCC/i;
const FINE = /QFP|SOIC|SSOP|MSOP|SO-?\d|SOP/i;
const THERMAL = /QFN|DFN|DPAK|D2PAK|TO-?252|TO-?263|LFPAK|POWERPAK|POWER-?SO|PQFN|SON/i;
const TAB = /TO-?(220|247|3P|264|218)/i;

/** How a part sits on the board, from its package and pins. */
export function mountOf(part: Part): Mount {
  if (part.kind.link) return 'link';
  const text = part.package ?? '';
  if (part.heatsink !== undefined || TAB.test(text)) return 'tab';
  if (/BGA/i.test(text)) return 'ball grid';
  if (THERMAL.test(text)) return 'thermal pad';
  if (SMALL_OUTLINE.test(text)) return 'small outline';
  if (FINE.test(text)) return 'fine pitch';
  if (CHIP.test(text)) return 'chip';
  if (part.pins.length <= 2) return 'two leads';
  return part.pins.length === 3 ? 'three leads' : 'many leads';
}

/** Prices steps in bench minutes under a state of the board. */
export class Clock {
  readonly #board: Board;
  readonly #times: BenchTimes;

  constructor(board: Board, times: BenchTimes) {
    this.#board = board;
    this.#times = times;
  }

  read(probe: Probe): number {
    return probe.offPart === undefined ? this.#times.reading[probe.mode] : this.#times.legReading;
  }

  get beep(): number {
    return this.#times.reading.continuity;
  }

  get look(): number {
    return this.#times.look;
  }

  get reflow(): number {
    return this.#times.reflowJoint;
  }

  /** True when raising one leg takes the part out of circuit for less than removing it. */
  canLiftLeg(part: Part): boolean {
    const mount = mountOf(part);
    return part.pins.length === 2 && (mount === 'link' || mount === 'two leads');
  }

  liftLeg(part: Part): number {
    return part.kind.link ? this.#times.liftLink : this.#times.liftLeg;
  }

  /**
   * Parts off the board together; a heatsink already open is not opened twice, nor a leg already raised
   * unsoldered again.
   */
  remove(parts: readonly number[], state: BoardState): number {
    const opened = this.#openHeatsinks(state);
    let minutes = 0;
    for (const index of parts) {
      const part = this.#board.parts[index];
      if (part === undefined || state.off.has(index)) continue;
      const raised = part.pins.filter((pin) => state.lifted.has(pin)).length;
      minutes += this.#work(part, this.#times.remove) * (1 - raised / part.pins.length);
      if (part.heatsink !== undefined && !opened.has(part.heatsink)) {
        opened.add(part.heatsink);
        minutes += this.#times.openHeatsink;
      }
    }
    return minutes;
  }

  /** Back on the board, the old piece or a new one; from lifted, only the leg. */
  fit(parts: readonly number[], state: BoardState): number {
    let minutes = 0;
    for (const index of parts) {
      const part = this.#board.parts[index];
      if (part === undefined) continue;
      if (state.off.has(index)) minutes += this.#work(part, this.#times.fit);
      else minutes += part.kind.link ? this.#times.refitLink : this.#times.refitLeg;
    }
    return minutes;
  }

  /** New parts in the place of old ones that are out already or not. */
  replace(parts: readonly number[], state: BoardState): number {
    const inPlace = parts.filter((part) => !state.off.has(part));
    const off: BoardState = { ...state, off: new Set([...state.off, ...parts]) };
    return this.remove(inPlace, state) + this.fit(parts, off);
  }

  #work(part: Part, table: Readonly<Record<Mount, number>>): number {
    const mount = mountOf(part);
    const extra = mount === 'many leads' ? Math.max(0, part.pins.length - 3) : 0;
    return table[mount] + extra * this.#times.perLeadBeyondThree;
  }

  #openHeatsinks(state: BoardState): Set<string> {
    const open = new Set<string>();
    for (const index of state.off) {
      const sink = this.#board.parts[index]?.heatsink;
      if (sink !== undefined) open.add(sink);
    }
    return open;
  }
}
