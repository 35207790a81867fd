import type { View } from '../circuit/circuit.ts';
import { ohmsDeviation, ohmsScale, type Prediction } from '../circuit/likelihood.ts';
import { beepChance, type Meter } from '../circuit/meter.ts';
import type { Probe } from '../circuit/reading.ts';
import type { BoardState } from '../circuit/state.ts';
import type { Beliefs } from '../faults/beliefs.ts';
import { observationFit } from '../faults/observation.ts';
import { MARK_CHANCE } from '../faults/own-evidence.ts';
import { actingKey, predict, type World, worldOf } from '../faults/world.ts';
import type { LookTarget } from './candidates.ts';
import { type Hypothesis, repairEntropy } from './hypotheses.ts';
import type { SearchMinutes } from './search-minutes.ts';

/** A hypothesis, or the part of one in which the culprit is among the parts removed. */
interface Case {
  readonly weight: number;
  readonly key: string;
  readonly choiceEntropy: number;
  readonly faults: readonly number[];
}

/** What a reading may show and what it would tell. */
export interface Outlook {
  readonly answers: readonly {
    readonly text: string;
    readonly chance: number;
    /** Weight of each hypothesis given the answer, by the hypotheses' order. */
    readonly weights: readonly number[];
  }[];
  /** Expected fall of the repair entropy, nats. */
  readonly gain: number;
  /** Minutes that finding the culprit is expected to take after it; 0 where nobody asked. */
  readonly minutesAfter: number;
}

/** Ends the key of a case in which the culprit is among the parts removed. */
const AMONG_REMOVED = '/removed';

/** How much of a set renewed together has usually failed. */
const SET_MEMBER_SHARE = 0.5;

/** A world, and its readings by pair of nets. */
interface Foreseen {
  readonly world: World;
  readonly readings: Map<number, Prediction>;
}

/** Foresees readings under states of the board, one solved world per hypothesis and state. */
export class Forecaster {
  readonly #beliefs: Beliefs;
  readonly #hypotheses: readonly Hypothesis[];
  readonly #toFind: SearchMinutes | undefined;
  readonly #byState = new Map<BoardState, Map<readonly number[], Foreseen>>();
  /** By view without faults, and by what the faults do in it. */
  readonly #byView = new Map<View, Map<string, Foreseen>>();
  /** No path is less certain than its least certain part. */
  readonly #mostTolerance: number;

  constructor(beliefs: Beliefs, hypotheses: readonly Hypothesis[], toFind?: SearchMinutes) {
    this.#beliefs = beliefs;
    this.#hypotheses = hypotheses;
    this.#toFind = toFind;
    this.#mostTolerance = beliefs.problem.circuit.mostSpread * (1 + 1e-9);
  }

  /** Predicted resistance of a reading if `faults` are there. */
  predict(probe: Probe, state: BoardState, faults: readonly number[]): Prediction {
    const { world, readings } = this.#foreseen(state, faults);
    const { red, black } = probe;
    const pair = red.net * this.#beliefs.problem.circuit.board.nets.length + black.net;
    let prediction = readings.get(pair);
    if (prediction === undefined) {
      prediction = predict(world, red.net, black.net);
      readings.set(pair, prediction);
    }
    return prediction;
  }

  /** Raising a leg of what conducts nothing changes nothing for faults elsewhere: they share their readings. */
  #foreseen(state: BoardState, faults: readonly number[]): Foreseen {
    let held = this.#byState.get(state);
    if (held === undefined) {
      held = new Map();
      this.#byState.set(state, held);
    }
    let foreseen = held.get(faults);
    if (foreseen !== undefined) return foreseen;
    const { circuit, universe } = this.#beliefs.problem;
    const plain = circuit.view(state);
    let alike = this.#byView.get(plain);
    if (alike === undefined) {
      alike = new Map();
      this.#byView.set(plain, alike);
    }
    const key = actingKey(universe, state, faults);
    foreseen = alike.get(key);
    if (foreseen === undefined) {
      foreseen = { world: worldOf(circuit, universe, state, faults), readings: new Map() };
      alike.set(key, foreseen);
    }
    held.set(faults, foreseen);
    return foreseen;
  }

  /**
   * What a reading under `state` would tell.
   * @param removed parts out of circuit in `state` but not now: one of several parts not told apart may be among them
   * @param repeats fit of an earlier reading at the same points, when this one repeats it
   */
  outlook(probe: Probe, state: BoardState, removed: readonly number[]): Outlook {
    const cases: { of: number; row: Case }[] = [];
    this.#hypotheses.forEach((hypothesis, of) => {
      for (const row of this.#split(hypothesis, removed)) cases.push({ of, row });
    });
    const predictions = cases.map(({ row }) => this.predict(probe, state, row.faults));
    const { meter, settings } = this.#beliefs.problem;
    const table =
      probe.mode === 'continuity'
        ? beepTable(predictions, meter, settings.slipRatio)
        : ohmsTable(predictions, meter, settings.slipRatio, this.#mostTolerance);
    return this.#sumUp(cases, table, removed);
  }

  #sumUp(
    cases: readonly { readonly of: number; readonly row: Case }[],
    table: { readonly texts: readonly string[]; readonly rows: readonly (readonly number[])[] },
    removed: readonly number[] = [],
  ): Outlook {
    const before = repairEntropy(cases.map(({ row }) => row));
    let gain = before;
    let minutesAfter = 0;
    const answers = table.texts.map((text, k) => {
      const weights = new Array<number>(this.#hypotheses.length).fill(0);
      let chance = 0;
      const after = cases.map(({ of, row }, n) => {
        const weight = row.weight * ((table.rows[n] as readonly number[])[k] as number);
        chance += weight;
        weights[of]! += weight;
        return { ...row, weight };
      });
      gain -= chance * repairEntropy(after);
      minutesAfter += this.#toFind?.minutes(after, removed) ?? 0;
      return { text, chance, weights: weights.map((w) => (chance > 0 ? w / chance : 0)) };
    });
    return { answers, gain: Math.max(0, gain), minutesAfter };
  }

  /** Cuts a hypothesis in two where some of the parts it cannot tell apart are removed. */
  #split(hypothesis: Hypothesis, removed: readonly number[]): Case[] {
    const unit = hypothesis.units.find(
      ({ parts, choice }) => choice && parts.some((part) => removed.includes(part)),
    );
    if (unit === undefined) return [hypothesis];
    const among = unit.parts.filter((part) => removed.includes(part)).length;
    const total = unit.parts.length;
    const rest = hypothesis.choiceEntropy - Math.log(total);
    const within: Case = {
      weight: (hypothesis.weight * among) / total,
      key: `${hypothesis.key}${AMONG_REMOVED}`,
      choiceEntropy: rest + Math.log(among),
      faults: hypothesis.faults.filter((id) => id !== unit.fault),
    };
    if (among === total) return [{ ...within, key: hypothesis.key }];
    return [
      within,
      {
        weight: (hypothesis.weight * (total - among)) / total,
        key: hypothesis.key,
        choiceEntropy: rest + Math.log(total - among),
        faults: hypothesis.faults,
      },
    ];
  }

  /** What looking at a part or a joint would tell: whether there is a mark of its failing. */
  look({ part, pin }: LookTarget): Outlook {
    const { failed, sound } = MARK_CHANCE[pin === undefined ? 'part' : 'joint'];
    const cases: { of: number; row: Case }[] = [];
    const rows: number[][] = [];
    this.#hypotheses.forEach((hypothesis, of) => {
      const unit = hypothesis.units.find((u) => u.parts.includes(part) && u.pin === pin);
      for (const row of this.#split(hypothesis, [part])) {
        const isCut = row.key !== hypothesis.key || unit?.choice === true;
        const inSet = unit === undefined ? 0 : unit.parts.length > 1 ? SET_MEMBER_SHARE : 1;
        const share = isCut ? (row.key === hypothesis.key ? 0 : 1) : inSet;
        const mark = share * failed + (1 - share) * sound;
        cases.push({ of, row });
        rows.push([mark, 1 - mark]);
      }
    });
    return this.#sumUp(cases, { texts: ['a mark of it', 'looks sound'], rows });
  }

  /** Chance of beep and quiet for a reading that repeats an observation, by hypothesis. */
  repeat(observationIndex: number, probe: Probe, state: BoardState): Outlook {
    const { observations, meter, settings } = this.#beliefs.problem;
    const observation = observations[observationIndex];
    if (observation === undefined) return this.outlook(probe, state, []);
    const cases = this.#hypotheses.map((row, of) => ({ of, row }));
    const rows = cases.map(({ row }) => {
      const prediction = this.predict(probe, state, row.faults);
      const whole = observationFit(observation, prediction, meter, settings);
      const chance = (kind: 'beep' | 'quiet'): number =>
        observationFit(
          { entries: [...observation.entries, { mode: 'continuity', value: { kind } }] },
          prediction,
          meter,
          settings,
        ) / whole;
      const [beep, quiet] = [chance('beep'), chance('quiet')];
      return [beep / (beep + quiet), quiet / (beep + quiet)];
    });
    return this.#sumUp(cases, { texts: ['beep', 'quiet'], rows });
  }
}

function beepTable(
  predictions: readonly Prediction[],
  meter: Meter,
  slip: number,
): { texts: string[]; rows: number[][] } {
  const rows = predictions.map(({ ohms, spread }) => {
    const beep = (1 - slip) * beepChance(meter, ohms, spread) + slip / 2;
    return [beep, 1 - beep];
  });
  return { texts: ['beep', 'quiet'], rows };
}

/** Numbers fall into groups a meter can tell apart: neighbours closer than a few deviations share one. */
function ohmsTable(
  predictions: readonly Prediction[],
  meter: Meter,
  slip: number,
  mostTolerance: number,
): { texts: string[]; rows: number[][] } {
  const order = predictions
    .map((_, k) => k)
    .sort((x, y) => ohmsOf(predictions, x) - ohmsOf(predictions, y));
  const group = new Array<number>(predictions.length).fill(0);
  const texts: string[] = [];
  let last: Prediction | undefined;
  for (const k of order) {
    const here = predictions[k] as Prediction;
    if (last === undefined || apart(last, here, meter, mostTolerance))
      texts.push(aboutOhms(here.ohms, meter));
    group[k] = texts.length - 1;
    last = here;
  }
  const rows = group.map((g) =>
    texts.map((_, k) => (k === g ? 1 - slip : 0) + slip / texts.length),
  );
  return { texts, rows };
}

function ohmsOf(predictions: readonly Prediction[], k: number): number {
  return (predictions[k] as Prediction).ohms;
}

function apart(x: Prediction, y: Prediction, meter: Meter, mostTolerance: number): boolean {
  const limit = 0.9 * meter.rangeOhms;
  if (y.ohms > limit) return x.ohms <= limit;
  const gap = ohmsScale(y.ohms) - ohmsScale(x.ohms);
  // The exact tolerance of a path is seldom needed: none is below 0 or above that of its worst part.
  if (!isApart(gap, [x, y], meter, 0)) return false;
  if (isApart(gap, [x, y], meter, mostTolerance)) return true;
  return isApart(gap, [x, y], meter);
}

function isApart(
  gap: number,
  both: readonly Prediction[],
  meter: Meter,
  tolerance?: number,
): boolean {
  const [sx = 0, sy = 0] = both.map((p) =>
    ohmsDeviation(meter, p, p.tolerance === undefined ? undefined : tolerance),
  );
  return gap > 3 * Math.hypot(sx, sy);
}

/** `about 0.4 ohm`, `OL`: what a meter would show of a resistance, in the words of an answer. */
export function aboutOhms(ohms: number, meter: Meter): string {
  if (ohms > 0.9 * meter.rangeOhms) return 'OL';
  if (ohms >= 1e6) return `about ${(ohms / 1e6).toPrecision(2)} Mohm`;
  if (ohms >= 1e3) return `about ${(ohms / 1e3).toPrecision(2)} kohm`;
  return `about ${ohms < 10 ? ohms.toFixed(1) : ohms.toPrecision(2)} ohm`;
}
