/** What a meter would show at two points, over everything that could be wrong with the board. */
import { ohmsDeviation, ohmsScale, type Prediction } from '../circuit/likelihood.ts';
import { beepChance, normalBelow } from '../circuit/meter.ts';
import type { Probe } from '../circuit/reading.ts';
import { type Shown, shownOn } from '../circuit/shown.ts';
import type { Beliefs } from '../faults/beliefs.ts';
import { predict, worldOf } from '../faults/world.ts';
import type { Analysis } from './advise.ts';
import { aboutOhms } from './outlook.ts';

/** One thing the meter may show. */
export interface Foreseen {
  /** `beep`, `quiet`, `OL`, `about 0.4 ohm`, `about 0.52 V`. */
  readonly answer: string;
  /** 0–1; those of all answers sum to 1. */
  readonly weight: number;
  /** Ω or V, for a number: the likeliest, and a span that holds it in 19 of 20 readings. */
  readonly value?: number;
  readonly low?: number;
  readonly high?: number;
}

/** What one explanation makes a meter show, and by how much that may be off. */
interface Showing extends Shown {
  readonly weight: number;
  /** Standard deviation: of ln(Ω + 0.2), or V. */
  readonly deviation: number;
}

/** Showings that a meter cannot tell apart. */
type Group = readonly [Showing, ...Showing[]];

/**
 * The distribution of a reading taken now, likeliest answer first.
 * @param probe between points of the board; copper is not counted, so four-wire readings along a
 *   net come out as 0
 * @throws {RangeError} when the meter lacks the mode, for millivolts, and off the board
 */
export function foresee({ beliefs, hypotheses, evidence }: Analysis, probe: Probe): Foreseen[] {
  const { meter, settings } = beliefs.problem;
  if (probe.mode === 'millivolts' || probe.offPart !== undefined) {
    throw new RangeError('only what a meter drives through the points of the board is foreseen');
  }
  if (meter.drives[probe.mode] === undefined) {
    throw new RangeError(`${meter.name} has no ${probe.mode} mode`);
  }
  const seen = hypotheses.map(({ faults, weight }) => {
    const { circuit, universe } = beliefs.problem;
    const world = worldOf(circuit, universe, evidence.state, faults);
    const prediction = predict(world, probe.red.net, probe.black.net);
    return { world, prediction, weight };
  });
  if (probe.mode === 'continuity') {
    const beep = seen.reduce(
      (sum, { prediction: { ohms, spread }, weight }) =>
        sum + weight * beepChance(meter, ohms, spread),
      0,
    );
    return spread(
      [
        { answer: 'beep', weight: beep },
        { answer: 'quiet', weight: 1 - beep },
      ],
      settings.slipRatio,
    );
  }
  const showings = seen.map(({ world: { view, added }, prediction, weight }): Showing => {
    const { red, black, mode } = probe;
    const shown = shownOn(meter, mode, { view, added, red: red.net, black: black.net });
    // Leads are nulled before a reading in ohms.
    const leads = shown.kind === 'ohms' && mode !== 'four-wire' ? meter.leadOhms : 0;
    const nulled = { ...shown, value: Math.max(0, shown.value - leads) };
    return { ...nulled, weight, deviation: deviationOf(nulled, prediction, beliefs) };
  });
  return spread(
    grouped(showings).map((group) => answerOf(group, beliefs)),
    settings.slipRatio,
  );
}

/** A slip may show any of the answers. */
function spread(answers: readonly Foreseen[], slip: number): Foreseen[] {
  return answers
    .map((one) => ({ ...one, weight: (1 - slip) * one.weight + slip / answers.length }))
    .sort((x, y) => y.weight - x.weight);
}

/** Volts of a junction are known to within 0.05 V, those across a resistance to a twentieth. */
function deviationOf(
  shown: Shown,
  prediction: Prediction,
  { problem: { meter } }: Beliefs,
): number {
  if (shown.kind === 'over') return 0;
  if (shown.kind === 'volts') {
    const isLinear = shown.value >= 0.98 * prediction.ohms * shown.amps;
    return Math.hypot(0.005, isLinear ? 0.05 * shown.value : 0.05);
  }
  return ohmsDeviation(meter, { ...prediction, ohms: shown.value });
}

function scaled({ kind, value }: Shown): number {
  return kind === 'ohms' ? ohmsScale(value) : value;
}

function grouped(showings: readonly Showing[]): Group[] {
  const groups: [Showing, ...Showing[]][] = [];
  const sorted = showings.toSorted((x, y) => x.value - y.value);
  let last: Showing | undefined;
  for (const here of sorted) {
    const group = groups.at(-1);
    if (last === undefined || group === undefined || isApart(last, here)) groups.push([here]);
    else group.push(here);
    last = here;
  }
  return groups;
}

function isApart(x: Showing, y: Showing): boolean {
  if (x.kind === 'over' || y.kind === 'over') return x.kind !== y.kind;
  return scaled(y) - scaled(x) > 3 * Math.hypot(x.deviation, y.deviation);
}

function answerOf(group: Group, { problem: { meter } }: Beliefs): Foreseen {
  const weight = group.reduce((sum, one) => sum + one.weight, 0);
  const [first, ...rest] = group;
  const best = rest.reduce((most, one) => (one.weight > most.weight ? one : most), first);
  const { kind, value } = best;
  if (kind === 'over') return { answer: 'OL', weight };
  const [low, high] = [0.025, 0.975].map((share) => quantile(group, weight * share));
  const answer = kind === 'volts' ? `about ${value.toPrecision(2)} V` : aboutOhms(value, meter);
  return { answer, weight, value, low: low ?? value, high: high ?? value };
}

/** The Ω or V below which so much of a group's weight lies. */
function quantile(group: Group, weight: number): number {
  const isOhms = group[0].kind === 'ohms';
  const below = (at: number): number =>
    group.reduce(
      (sum, one) => sum + one.weight * normalBelow((at - scaled(one)) / one.deviation),
      0,
    );
  let least = Math.min(...group.map((one) => scaled(one) - 6 * one.deviation));
  let most = Math.max(...group.map((one) => scaled(one) + 6 * one.deviation));
  for (let halving = 0; halving < HALVINGS; halving += 1) {
    const middle = (least + most) / 2;
    if (below(middle) < weight) least = middle;
    else most = middle;
  }
  return Math.max(0, isOhms ? Math.exp(most) - OFFSET_OHMS : most);
}

/** Leaves nothing that a meter shows. */
const HALVINGS = 40;

/** That of {@link ohmsScale}. */
const OFFSET_OHMS = Math.exp(ohmsScale(0));
