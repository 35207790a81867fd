import type { Candidate } from './candidates.ts';
import type { Hypothesis } from './hypotheses.ts';
import type { Forecaster, Outlook } from './outlook.ts';

/** A candidate with what it would tell and what it would really cost. */
export interface Scored {
  readonly candidate: Candidate;
  readonly outlook: Outlook;
  /** Minutes that would not have to be spent anyway. */
  readonly extraMinutes: number;
  /** Minutes until the culprit is found that this step is expected to lead to. */
  readonly whole: number;
  /** After about so many readings like this one something else pays better; set for readings along copper. */
  readonly readings?: number;
}

/** Below this many nats a step tells nothing worth a probe. */
const LEAST_GAIN = 0.005;

/** Scores candidates, best first. Ties go to the cheaper, then to the earlier. */
export function scoreAll(
  candidates: readonly Candidate[],
  hypotheses: readonly Hypothesis[],
  forecaster: Forecaster,
): Scored[] {
  return candidates
    .map((candidate) => score(candidate, hypotheses, forecaster))
    .filter(({ outlook }) => outlook.gain > LEAST_GAIN)
    .sort(bySoonest);
}

/** Fewest minutes first; then what costs least by itself. */
export function bySoonest(x: Scored, y: Scored): number {
  return x.whole - y.whole || x.extraMinutes - y.extraMinutes;
}

function score(
  candidate: Candidate,
  hypotheses: readonly Hypothesis[],
  forecaster: Forecaster,
): Scored {
  const outlook = outlookOf(candidate, forecaster);
  const extraMinutes = extra(candidate, hypotheses);
  return { candidate, outlook, extraMinutes, whole: extraMinutes + outlook.minutesAfter };
}

function outlookOf(
  { probe, state, parts, repeats, look }: Candidate,
  forecaster: Forecaster,
): Outlook {
  if (look !== undefined) return forecaster.look(look);
  if (repeats !== undefined) return forecaster.repeat(repeats, probe, state);
  return forecaster.outlook(probe, state, parts);
}

/**
 * Minutes a candidate costs beyond the work that has to be done anyway: a part that must be renewed
 * costs little more for coming out now; a healthy one costs the way out and the way back.
 */
function extra(candidate: Candidate, hypotheses: readonly Hypothesis[]): number {
  const { parts, minutes, undoMinutes, aheadMinutes } = candidate;
  if (parts.length === 0) return minutes;
  let needed = 0;
  for (const { units, weight } of hypotheses) needed += weight * shareNeeded(units, parts);
  return needed * aheadMinutes + (1 - needed) * (minutes + undoMinutes);
}

/** Share of the parts that a repair would take out anyway. */
function shareNeeded(units: Hypothesis['units'], parts: readonly number[]): number {
  let count = 0;
  for (const part of parts) {
    const unit = units.find((u) => u.comesOff && u.parts.includes(part));
    if (unit !== undefined) count += unit.choice ? 1 / unit.parts.length : 1;
  }
  return count / parts.length;
}
