/** How each thing said changes the board. */
import type { Board } from '../board/model.ts';
import {
  type BoardState,
  withCleaned,
  withLifted,
  withLink,
  withMended,
  withOff,
  withRefitted,
  withReflowed,
  withReplaced,
} from '../circuit/state.ts';
import type { Say } from './say.ts';

/** The state of the board once `say` is done; the same object when nothing changed. */
export function stateAfter(board: Board, state: BoardState, say: Say): BoardState {
  const pinsOf = (part: number): readonly number[] => board.parts[part]?.pins ?? [];
  switch (say.do) {
    case 'lift':
      return withLifted(state, say.pins);
    case 'remove':
      return withOff(onlyLiftedElsewhere(state, say.parts.flatMap(pinsOf)), say.parts);
    case 'refit':
      return say.parts.reduce((now, part) => withRefitted(now, part, pinsOf(part)), state);
    case 'replace':
      return say.parts.reduce((now, part) => withReplaced(now, part, pinsOf(part)), state);
    case 'reflow':
      return withReflowed(state, say.pins);
    case 'clean':
      return withCleaned(state, ...say.nets);
    case 'mend':
      return withMended(state, say.net);
    case 'look':
      // A part that is not there joins nothing; nobody took it off in this job.
      return say.finding === 'missing' && say.part !== undefined
        ? withOff(onlyLiftedElsewhere(state, pinsOf(say.part)), [say.part])
        : state;
    case 'link':
      return withLink(state, ...say.nets);
    default:
      return state;
  }
}

/** Accepting a link changes what is known of the board, not the board. */
const WORK: ReadonlySet<Say['do']> = new Set([
  'lift',
  'remove',
  'refit',
  'replace',
  'reflow',
  'clean',
  'mend',
]);

/** Whether the board itself is different afterwards, so that earlier readings prove nothing. */
export function changesBoard(say: { readonly do: Say['do'] }): boolean {
  return WORK.has(say.do);
}

/** A part that is off has no lifted legs: the state counts those only on parts still there. */
function onlyLiftedElsewhere(state: BoardState, pins: readonly number[]): BoardState {
  const lifted = new Set(state.lifted);
  for (const pin of pins) lifted.delete(pin);
  return { ...state, lifted };
}
