/** How long each kind of bench work took on boards of one model, and whom. */
import { harmless } from '../../board/shown-text.ts';
import type { MeterMode } from '../../circuit/reading.ts';
import type { MinutesSum } from '../../job/memory/action-minutes.ts';
import { addMinutes } from '../../job/memory/bench-pace.ts';
import type { Lesson } from '../../job/memory/lesson.ts';
import { MODE_WORDS } from '../names.ts';

/** Half of the times took less than these minutes: one that dragged on counts no more than another. */
interface Taken {
  readonly times: number;
  readonly minutes: number;
}

export interface WorkView extends Taken {
  /** `beeper`, `taking off: tab`. */
  readonly work: string;
  /** By who did it, as far as records name them; most often first. */
  readonly by: readonly (Taken & { readonly technician: string })[];
}

/** The kinds of work that were timed, what was done most often first. */
export function workOf(lessons: readonly Lesson[]): WorkView[] {
  const all = addMinutes(lessons.map(({ minutes }) => ({ minutes, weight: 1 })));
  const names = [...new Set(lessons.flatMap(({ hands = {} }) => Object.keys(hands)))].sort();
  const hands = names.map((technician) => ({
    technician: harmless(technician),
    sums: addMinutes(
      lessons.flatMap(({ hands: held = {} }) => {
        const minutes = held[technician];
        return minutes === undefined ? [] : [{ minutes, weight: 1 }];
      }),
    ),
  }));
  return [...all]
    .map(([action, sum]): WorkView => {
      const by = hands.flatMap(({ technician, sums }) => {
        const own = sums.get(action);
        return own === undefined ? [] : [{ technician, ...taken(own) }];
      });
      return { work: workName(action), ...taken(sum), by: by.sort((x, y) => y.times - x.times) };
    })
    .sort((x, y) => y.times - x.times || (x.work < y.work ? -1 : 1));
}

/** The middle of a log-normal. */
function taken([times, sum]: MinutesSum): Taken {
  return { times, minutes: Number(Math.exp(sum / times).toPrecision(2)) };
}

const NAMES: Readonly<Record<string, string>> = {
  legReading: 'reading off the board',
  look: 'look',
  reflowJoint: 'reflowing a joint',
  liftLink: 'lifting a link',
  refitLink: 'putting a link back',
  liftLeg: 'lifting a leg',
  refitLeg: 'putting a leg back',
};

function workName(action: string): string {
  const [group = '', ...rest] = action.split(' ');
  const what = rest.join(' ');
  if (group === 'reading' && Object.hasOwn(MODE_WORDS, what)) {
    return `reading: ${MODE_WORDS[what as MeterMode]}`;
  }
  if (group === 'remove') return `taking off: ${what}`;
  if (group === 'fit') return `fitting: ${what}`;
  return NAMES[action] ?? harmless(action);
}
