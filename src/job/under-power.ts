import type { DerivedJob } from './derive.ts';
import type { Say } from './say.ts';

/** What may be said of a board whether power is on or not. */
const SAYS_NOTHING: ReadonlySet<Say['do']> = new Set([
  'note',
  'photo',
  'customer',
  'marking',
  'technician',
  'at',
  'pass',
  'unreachable',
  'reachable',
]);

/**
 * Whether the record leaves the board under power: the last thing said of it was said with power on,
 * and did not end it. It may be off all the same; nobody records a switch.
 */
export function mayBeUnderPower({ active }: DerivedJob): boolean {
  const say = active.findLast((each) => !SAYS_NOTHING.has(each.say.do))?.say;
  switch (say?.do) {
    case 'powered':
    case 'draws':
    case 'temp':
      return true;
    case 'power':
    case 'function':
      return say.result === 'passed';
    case 'soak':
      return say.what === 'start' || say.what === 'finding';
    default:
      return false;
  }
}
