import type { Board } from '../board/model.ts';
import type { DerivedJob } from './derive.ts';

/** Why a joint was heated again. */
export interface ReflowWork {
  readonly event: number;
  readonly pin: number;
  /** `repair`: evidence accused the joint, or the repair had undone it; else `refurbishment`. */
  readonly kind: 'repair' | 'refurbishment';
  readonly because: 'found cracked' | 'accused by readings' | 'undone by the repair' | 'stressed';
  /** The event that says so, where one does. */
  readonly by?: number;
}

/**
 * Every reflow of a job, told apart: the repair clears the failure, refurbishment renews what is due
 * to fail as well.
 * @param isAccused whether the readings before an event accused a joint of being open
 */
export function reflowWork(
  board: Board,
  job: DerivedJob,
  isAccused: (pin: number, before: number) => boolean = () => false,
): ReflowWork[] {
  return job.active.flatMap(({ event: { n }, say }) =>
    say.do === 'reflow' ? say.pins.map((pin) => workOn(board, job, pin, n, isAccused)) : [],
  );
}

function workOn(
  board: Board,
  job: DerivedJob,
  pin: number,
  event: number,
  isAccused: (pin: number, before: number) => boolean,
): ReflowWork {
  const part = board.pins[pin]?.part ?? -1;
  const before = job.active.filter((each) => each.event.n < event);
  const found = before.findLast(
    ({ say }) =>
      say.do === 'look' &&
      say.pin === pin &&
      (say.finding === 'cracked' || say.finding === 'off its pad'),
  );
  if (found !== undefined) {
    return { event, pin, kind: 'repair', because: 'found cracked', by: found.event.n };
  }
  const undone = before.findLast(
    ({ say }) =>
      (say.do === 'lift' && say.pins.includes(pin)) ||
      ((say.do === 'remove' || say.do === 'replace') && say.parts.includes(part)),
  );
  if (undone !== undefined) {
    return { event, pin, kind: 'repair', because: 'undone by the repair', by: undone.event.n };
  }
  if (isAccused(pin, event)) return { event, pin, kind: 'repair', because: 'accused by readings' };
  return { event, pin, kind: 'refurbishment', because: 'stressed' };
}
