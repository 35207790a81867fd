import type { Sound } from '../sound.ts';
import { stepOf, type Turn } from './turn.ts';

/**
 * What a person hears of an answer: the weightiest thing that came of it. Undefined where nothing did.
 * @param before the turn it answered
 */
export function soundOf(before: Turn, after: Turn): Sound | undefined {
  if (after.study === before.study) {
    // Nothing was recorded; where there is news all the same, it says why.
    return after !== before && after.news.length > 0 ? 'attention' : undefined;
  }
  if (after.study.diagnosis.contradictory && !before.study.diagnosis.contradictory) {
    return 'contradiction';
  }
  if (isClear(after) && !isClear(before)) return 'clear';
  return needsHands(after) ? 'attention' : 'recorded';
}

function isClear({ study }: Turn): boolean {
  const { phase, step } = study.advice().raw;
  return phase === 'clear' && step.kind === 'done';
}

/** Whether what comes next is more than touching two points. */
function needsHands(turn: Turn): boolean {
  return turn.standing.task !== undefined || stepOf(turn).kind !== 'read';
}
