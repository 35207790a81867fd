import type { Board } from '../board/model.ts';
import { type DerivedJob, deriveJob } from '../job/derive.ts';
import { analyse } from '../steps/advise.ts';
import { workbenchFor } from './engine.ts';

/** From this weight on the readings accuse a joint: a hundred times what it weighs before any. */
const ACCUSED_WEIGHT = 0.01;

/** Whether the readings before an event of a job accused a joint of being open. */
export function accusedJoints(
  board: Board,
  { history: { events } }: DerivedJob,
): (pin: number, before: number) => boolean {
  const known = new Map<number, ReadonlySet<number>>();
  return (pin, before) => {
    let pins = known.get(before);
    if (pins === undefined) {
      const job = deriveJob(
        board,
        events.filter(({ n }) => n < before),
      );
      pins = openJoints(board, job);
      known.set(before, pins);
    }
    return pins.has(pin);
  };
}

function openJoints(board: Board, { evidence }: DerivedJob): ReadonlySet<number> {
  if (evidence.readings.length === 0) return new Set();
  const { sets } = analyse(workbenchFor(board), evidence).diagnosis;
  const weights = new Map<number, number>();
  for (const { faults, weight } of sets) {
    for (const { what, pin } of faults) {
      if (what === 'joint' && pin !== undefined) weights.set(pin, (weights.get(pin) ?? 0) + weight);
    }
  }
  return new Set([...weights].flatMap(([pin, weight]) => (weight >= ACCUSED_WEIGHT ? [pin] : [])));
}
