import type { Probe } from '../circuit/reading.ts';
import { netPairKey } from '../circuit/state.ts';
import { actsOn, type Fault } from '../faults/fault.ts';
import type { Analysis } from './advise.ts';
import type { Hypothesis } from './hypotheses.ts';
import { Forecaster } from './outlook.ts';
import type { Advice, Outcome, Step } from './step.ts';
import { percent, unitsName } from './words.ts';

/** A step with its price and reason, before the rest of the advice is put round it. */
export interface Choice {
  readonly phase: Advice['phase'];
  readonly step: Step;
  readonly minutes: number;
  readonly why: string;
  readonly outcomes: readonly Outcome[];
  readonly others?: Advice['others'];
}

/** Weight of the hypotheses in which something still in circuit has failed. */
export function actingWeight({ hypotheses, beliefs, evidence }: Analysis): number {
  let sum = 0;
  for (const { accused, weight, units } of hypotheses) {
    if (units.length === 0) continue;
    const acts = accused.some((id) =>
      actsOn(beliefs.problem.universe.faults[id] as Fault, evidence.state),
    );
    if (acts) sum += weight;
  }
  return sum;
}

/** What a plain reading may show, and what that would mean. */
export function readOutcomes(analysis: Analysis, probe: Probe): Outcome[] {
  const forecaster = new Forecaster(analysis.beliefs, analysis.hypotheses);
  const outlook = forecaster.outlook(probe, analysis.evidence.state, []);
  const pair = netPairKey(probe.red.net, probe.black.net);
  const shown = analysis.survey.readings.find(
    ({ probe: { red, black } }) => netPairKey(red.net, black.net) === pair,
  );
  const hidden = Math.min(0.9, shown?.faults ?? 0);
  return outlook.answers.map(({ text, chance, weights }) => {
    const beep = text === 'beep';
    const weight = beep ? chance + (1 - chance) * hidden : chance * (1 - hidden);
    const plain = beep ? 'something across it conducts' : 'nothing conducts across it';
    return { answer: text, weight, means: meaning(analysis, weights, plain) };
  });
}

/** What an answer leaves most likely; `plain` when that is nothing in particular. */
export function meaning(analysis: Analysis, weights: readonly number[], plain: string): string {
  const byKey = new Map<string, { weight: number; hypothesis: Hypothesis }>();
  analysis.hypotheses.forEach((hypothesis, k) => {
    const weight = weights[k] as number;
    const held = byKey.get(hypothesis.key);
    if (held === undefined) byKey.set(hypothesis.key, { weight, hypothesis });
    else held.weight += weight;
  });
  const top = [...byKey.values()].sort((x, y) => y.weight - x.weight)[0];
  if (top === undefined || top.hypothesis.units.length === 0) return plain;
  const name = unitsName(analysis.workbench.board, top.hypothesis.units);
  return `then most likely ${name} (${percent(top.weight)})`;
}

/** A sentence begins with it. */
export function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
