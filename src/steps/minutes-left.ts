import { furtherFactor } from '../faults/learnt.ts';
import type { Analysis } from './advise.ts';
import type { RepairUnit } from './hypotheses.ts';

/** What is still to be done on the cold board, should one explanation be right. */
export interface WorkAhead {
  /** The explanation's share of the weight; all together 1. */
  readonly weight: number;
  /** Bench minutes to a board read clear. */
  readonly minutes: number;
  /** What has to be put right. */
  readonly units: readonly RepairUnit[];
}

/** Minutes per nat of doubt about the repair, from simulated jobs. */
const MINUTES_PER_NAT = 1.5;

/**
 * The work ahead by explanation: the step at hand, finding out that it is this one (what is unlikely takes
 * longer to find), the repair, and the readings after.
 * @param stepMinutes of the step at hand
 */
export function workAhead(analysis: Analysis, stepMinutes: number): WorkAhead[] {
  const { hypotheses, proof, survey, workbench, evidence } = analysis;
  const unread = survey.unread * furtherFactor(workbench.bench.settings.learnt, evidence);
  const readings = proof.reduce((sum, { missing }) => sum + Math.max(1, missing.length), 0);
  const surveys = Math.min(survey.readings.length, Math.ceil(unread * 20));
  const always = stepMinutes + 0.3 * (readings + surveys);
  if (hypotheses.length === 0) return [{ weight: 1, minutes: always, units: [] }];
  const byKey = new Map<string, number>();
  for (const { key, weight } of hypotheses) byKey.set(key, (byKey.get(key) ?? 0) + weight);
  return hypotheses.map(({ weight, units, key, choiceEntropy }) => {
    const nats = choiceEntropy - Math.log(byKey.get(key) || 1);
    const minutes = always + repairMinutes(analysis, units) + MINUTES_PER_NAT * nats;
    return { weight, units, minutes };
  });
}

/** Expected bench minutes to a board read clear. */
export function minutesLeft(analysis: Analysis, stepMinutes: number): number {
  const ahead = workAhead(analysis, stepMinutes);
  return ahead.reduce((sum, { weight, minutes }) => sum + weight * minutes, 0);
}

function repairMinutes({ workbench, evidence }: Analysis, units: readonly RepairUnit[]): number {
  let sum = 0;
  for (const unit of units) {
    const parts = unit.choice ? unit.parts.slice(0, 1) : unit.parts;
    sum +=
      parts.length > 0 ? workbench.clock.replace(parts, evidence.state) : workbench.clock.reflow;
  }
  return sum;
}
