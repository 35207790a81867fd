import { isGround } from '../../board/import/net-words.ts';
import type { PartList } from '../../board/part-list/part-list.ts';
import type { Meter } from '../../circuit/meter.ts';
import { MAP_FIGURES, type MapFigures } from '../../steps/mapping/figures.ts';
import { NetMap } from '../../steps/mapping/net-map.ts';
import { type Sweep, SweepPlanner } from '../../steps/mapping/next-sweep.ts';
import type { MapProblem } from '../../steps/mapping/problem.ts';
import { problemOf } from '../../steps/mapping/problem-of.ts';
import { type Counted, countedUnder, standing, type Told } from './counted.ts';
import type { MapEvent, MapNames, MapSay } from './say.ts';

/** A quiet between two points that other readings join. */
export interface MapConflict {
  readonly event: number;
  readonly points: readonly [string, string];
  /** Events whose beeps join them, and parts that do. */
  readonly joinedBy: readonly string[];
}

/** Figures of the way so far. */
export interface MapCounts {
  /** Answers of the meter: a point, or a row at once, touched. */
  readonly touches: number;
  readonly answers: number;
}

/**
 * A map under way: what was said, and what follows from it. Readings of other states of the board
 * count as far as they hold for the state of now.
 */
export class MapSession {
  readonly list: PartList;
  readonly names: MapNames;
  readonly #meter: Meter;
  readonly #figures: MapFigures;
  #events: MapEvent[] = [];
  #told!: Told;
  #problem!: MapProblem;
  #map!: NetMap;
  #planner!: SweepPlanner;
  #conflicts: MapConflict[] = [];
  #counts = { touches: 0, answers: 0 };
  #next: { readonly sweep: Sweep | undefined } | undefined;

  constructor(
    list: PartList,
    meter: Meter,
    events: readonly MapEvent[] = [],
    figures: MapFigures = MAP_FIGURES,
  ) {
    this.list = list;
    this.#meter = meter;
    this.#figures = figures;
    this.names = namesOf(list);
    this.#events = [...events];
    this.#replay();
  }

  get map(): NetMap {
    return this.#map;
  }

  get problem(): MapProblem {
    return this.#problem;
  }

  get told(): Told {
    return this.#told;
  }

  get events(): readonly MapEvent[] {
    return this.#events;
  }

  /** Nothing said stands that could be taken back. */
  get isEmpty(): boolean {
    return standing(this.#events).length === 0;
  }

  get conflicts(): readonly MapConflict[] {
    return this.#conflicts;
  }

  get counts(): MapCounts {
    return this.#counts;
  }

  /** The next step; undefined when no pair left is likely enough to be worth a touch. */
  next(): Sweep | undefined {
    this.#next ??= { sweep: this.#planner.next() };
    return this.#next.sweep;
  }

  /** Takes in one more thing said. */
  take(event: MapEvent): void {
    this.#events.push(event);
    this.#next = undefined;
    const isPlain = PLAIN.has(event.say.do);
    if (!isPlain) this.#replay();
    else if (event.say.do === 'touch') this.#touch(event.n, event.say);
  }

  /** The same session as the board would read with these parts lifted. */
  under(lifted: ReadonlySet<string>): MapSession {
    const now = this.#told.lifted;
    const isSame = lifted.size === now.size && [...lifted].every((part) => now.has(part));
    if (isSame) return this;
    const other = new MapSession(this.list, this.#meter, [], this.#figures);
    other.#events = [...this.#events];
    other.#replay(lifted);
    return other;
  }

  #replay(lifted?: ReadonlySet<string>): void {
    const links = problemOf(this.list, this.#meter);
    const { told, counted } = countedUnder(this.#events, links, this.names, lifted);
    this.#told = told;
    this.#next = undefined;
    const problem = problemOf(this.list, this.#meter, told.lifted);
    const ground = this.#groundOf(problem, told);
    this.#problem = ground === undefined ? problem : { ...problem, ground };
    this.#map = new NetMap(this.#problem, this.#figures);
    this.#joinKnown();
    this.#planner = new SweepPlanner(this.#map);
    this.#conflicts = [];
    this.#counts = { touches: 0, answers: 0 };
    for (const each of counted) this.#count(each);
  }

  /** Said, named so by the list, or the first pin that its part calls so. */
  #groundOf({ points, parts }: MapProblem, told: Told): number | undefined {
    if (told.ground !== undefined) return told.ground;
    const nets = this.list.parts.flatMap(({ pins }) => pins.map(({ net }) => net));
    const known = nets.findIndex((net) => net !== undefined && isGround(net));
    if (known >= 0) return known;
    const first = points.findIndex(({ role }) => role === 'ground');
    return first < 0 || parts.length === 0 ? undefined : first;
  }

  #joinKnown(): void {
    const map = this.#map;
    for (const { lowOhm } of this.#problem.parts) {
      for (const [a, b] of lowOhm) map.join(map.netOf(a), map.netOf(b));
    }
    const first = new Map<string, number>();
    const nets = this.list.parts.flatMap(({ pins }) => pins.map(({ net }) => net));
    for (const [point, net] of nets.entries()) {
      if (net === undefined) continue;
      const other = first.get(net);
      if (other === undefined) first.set(net, point);
      else map.join(map.netOf(other), map.netOf(point));
    }
    for (const [one = 0, ...others] of this.#told.joined) {
      for (const other of others) map.join(map.netOf(one), map.netOf(other));
    }
    for (const point of this.#told.skipped) map.skip(point);
  }

  #touch(event: number, say: Extract<MapSay, { do: 'touch' }>): void {
    const numbers = (points: readonly string[]): number[] =>
      points.map((name) => this.names.points.get(name) ?? -1);
    const [hold = -1] = numbers([say.hold]);
    for (const [at, points] of say.touch.entries()) {
      const isBeep = say.beeps && at === say.touch.length - 1;
      this.#count({
        event,
        hold,
        points: numbers(points),
        isBeep,
        isLast: at === say.touch.length - 1,
      });
    }
  }

  #count({ event, hold, points, isBeep, isLast }: Counted): void {
    const map = this.#map;
    this.#counts = {
      touches: this.#counts.touches + 1,
      answers: this.#counts.answers + (isLast ? 1 : 0),
    };
    const joined = points.find((point) => map.netOf(point) === map.netOf(hold));
    if (!isBeep && joined !== undefined) this.#conflicts.push(this.#conflict(event, hold, joined));
    this.#planner.read(hold, points, isBeep);
  }

  #conflict(event: number, hold: number, point: number): MapConflict {
    const name = (index: number): string => this.#problem.points[index]?.name ?? '?';
    const way = (): readonly string[] => wayBetween(this, hold, point);
    let joinedBy: readonly string[] | undefined;
    return {
      event,
      points: [name(hold), name(point)],
      // A long record may hold many, and each is a search through all of it: only for who asks.
      get joinedBy() {
        joinedBy ??= way();
        return joinedBy;
      },
    };
  }
}

/** Points, numbered in list order, and parts. */
export function namesOf({ parts }: PartList): MapNames {
  const points = parts.flatMap(({ name, pins }) => pins.map((pin) => `${name}.${pin.name}`));
  return {
    points: new Map(points.map((name, index) => [name, index])),
    parts: new Set(parts.map(({ name }) => name)),
  };
}

/** What changes nothing that was worked out before. */
const PLAIN: ReadonlySet<string> = new Set(['touch', 'note', 'wrote']);

/** Events and parts that lead from one point to another, the fewest. */
function wayBetween(session: MapSession, from: number, to: number): string[] {
  const edges = new Map<number, { to: number; by: string }[]>();
  const add = (a: number, b: number, by: string): void => {
    for (const [from, to] of [
      [a, b],
      [b, a],
    ] as const) {
      const known = edges.get(from);
      if (known === undefined) edges.set(from, [{ to, by }]);
      else known.push({ to, by });
    }
  };
  const numberOf = (name: string): number => session.names.points.get(name) ?? -1;
  for (const { n, say } of standing(session.events)) {
    if (say.do === 'joined') {
      for (const point of say.points.slice(1)) {
        add(numberOf(say.points[0] ?? ''), numberOf(point), `event ${n}`);
      }
    }
    const last = say.do === 'touch' && say.beeps ? say.touch.at(-1) : undefined;
    if (say.do === 'touch' && last?.length === 1) {
      add(numberOf(say.hold), numberOf(last[0] ?? ''), `event ${n}`);
    }
  }
  for (const { name, lowOhm } of session.problem.parts) {
    for (const [a, b] of lowOhm) add(a, b, name);
  }
  const before = new Map<number, { at: number; by: string }>([[from, { at: -1, by: '' }]]);
  const queue = [from];
  for (const at of queue) {
    for (const edge of edges.get(at) ?? []) {
      if (before.has(edge.to)) continue;
      before.set(edge.to, { at, by: edge.by });
      queue.push(edge.to);
    }
  }
  const way: string[] = [];
  for (let at = to; at !== from && before.has(at); at = before.get(at)?.at ?? from) {
    way.unshift(before.get(at)?.by ?? '');
  }
  return [...new Set(way)];
}
