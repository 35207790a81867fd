import type { MapProblem } from '../../steps/mapping/problem.ts';
import type { MapEvent, MapNames, MapSay } from './say.ts';

/** One touch, as far as it counts. */
export interface Counted {
  readonly event: number;
  readonly hold: number;
  /** More than one: a row at once. */
  readonly points: readonly number[];
  readonly isBeep: boolean;
  /** The last of its answer. */
  readonly isLast: boolean;
}

/** What was said besides readings, by point numbers. */
export interface Told {
  readonly lifted: ReadonlySet<string>;
  /** All parts lifted at any time. */
  readonly everLifted: ReadonlySet<string>;
  readonly joined: readonly (readonly number[])[];
  readonly ground?: number;
  /** Names of nets, by a point of each. */
  readonly netNames: ReadonlyMap<number, string>;
  readonly skipped: ReadonlySet<number>;
}

interface Touch extends Counted {
  readonly lifted: ReadonlySet<string>;
}

/** The events that stand, once what was taken back is left out. */
export function standing(events: readonly MapEvent[]): MapEvent[] {
  const kept: MapEvent[] = [];
  for (const event of events) {
    const { say } = event;
    if (say.do === 'undo') kept.length = Math.max(0, kept.length - say.count);
    else if (say.do === 'strike') {
      const at = kept.findIndex(({ n }) => n === say.event);
      if (at >= 0) kept.splice(at, 1);
    } else if (say.do !== 'wrote') kept.push(event);
  }
  return kept;
}

/**
 * The touches that count for a state of the board. What is quiet stays quiet when more parts are
 * lifted; what beeps may beep through a part that was in place then, unless no such part has a leg
 * on the net.
 * @param asked the parts lifted; when left out, those lifted by the last word
 */
export function countedUnder(
  events: readonly MapEvent[],
  problem: MapProblem,
  names: MapNames,
  asked?: ReadonlySet<string>,
): { told: Told; counted: Counted[] } {
  const { told, touches } = gather(standing(events), names);
  const lifted = asked ?? told.lifted;
  const groups = new Map<string, (point: number) => ReadonlySet<string>>();
  const counted = touches.filter((touch) => {
    if (isWithin(touch.lifted, lifted) && isWithin(lifted, touch.lifted)) return true;
    if (!touch.isBeep) return isWithin(touch.lifted, lifted);
    if (isWithin(lifted, touch.lifted)) return true;
    const key = [...touch.lifted].sort().join(' ');
    const partsOn = groups.get(key) ?? partsByNet(touches, problem, touch.lifted);
    groups.set(key, partsOn);
    const on = partsOn(touch.hold);
    return ![...lifted].some((part) => !touch.lifted.has(part) && on.has(part));
  });
  return { told: { ...told, lifted }, counted };
}

function gather(events: readonly MapEvent[], names: MapNames): { told: Told; touches: Touch[] } {
  const numberOf = (name: string): number => names.points.get(name) ?? -1;
  const lifted = new Set<string>();
  const everLifted = new Set<string>();
  const joined: number[][] = [];
  const netNames = new Map<number, string>();
  const skipped = new Set<number>();
  const touches: Touch[] = [];
  let ground: number | undefined;
  for (const { n, say } of events) {
    switch (say.do) {
      case 'touch':
        touches.push(...touchesOf(n, say, numberOf, new Set(lifted)));
        break;
      case 'joined':
        joined.push(say.points.map(numberOf));
        break;
      case 'lift':
        for (const part of say.parts) lifted.add(part);
        for (const part of say.parts) everLifted.add(part);
        break;
      case 'refit':
        for (const part of say.parts) lifted.delete(part);
        break;
      case 'ground':
        ground = numberOf(say.point);
        break;
      case 'name':
        netNames.set(numberOf(say.point), say.net);
        break;
      case 'skip':
        for (const point of say.points) skipped.add(numberOf(point));
        break;
      default:
        break;
    }
  }
  const told = { lifted, everLifted, joined, netNames, skipped };
  return { told: ground === undefined ? told : { ...told, ground }, touches };
}

function touchesOf(
  event: number,
  say: Extract<MapSay, { do: 'touch' }>,
  numberOf: (name: string) => number,
  lifted: ReadonlySet<string>,
): Touch[] {
  const last = say.touch.length - 1;
  return say.touch.map((points, at) => ({
    event,
    hold: numberOf(say.hold),
    points: points.map(numberOf),
    isBeep: say.beeps && at === last,
    isLast: at === last,
    lifted,
  }));
}

/** For a state of the board: of a point, the low-ohm parts with a leg on what beeps with it. */
function partsByNet(
  touches: readonly Touch[],
  { points, parts }: MapProblem,
  lifted: ReadonlySet<string>,
): (point: number) => ReadonlySet<string> {
  const up = points.map((_, point) => point);
  const find = (point: number): number => {
    let at = point;
    while (up[at] !== at) at = up[at] ?? at;
    return at;
  };
  const join = (a: number, b: number): void => {
    up[find(a)] = find(b);
  };
  for (const { hold, points: touched, isBeep, lifted: then } of touches) {
    if (isBeep && touched.length === 1 && isWithin(lifted, then)) join(hold, touched[0] ?? hold);
  }
  for (const part of parts) {
    if (!lifted.has(part.name)) for (const [a, b] of part.lowOhm) join(a, b);
  }
  const on = new Map<number, Set<string>>();
  for (const part of parts) {
    for (const point of part.lowOhm.flat()) {
      const net = find(point);
      on.set(net, (on.get(net) ?? new Set()).add(part.name));
    }
  }
  return (point) => on.get(find(point)) ?? new Set();
}

function isWithin(some: ReadonlySet<string>, all: ReadonlySet<string>): boolean {
  return [...some].every((each) => all.has(each));
}
