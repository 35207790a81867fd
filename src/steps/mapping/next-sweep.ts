import { BestFirst } from './best-first.ts';
import type { NetMap } from './net-map.ts';
import { rowsOf } from './rows.ts';

/** One touch: of a point or, with a strip of braid or drawn along, of a row of points at once. */
export interface Contact {
  /** Point numbers. */
  readonly points: readonly number[];
  /** Chance to beep. */
  readonly chance: number;
}

/** Hold one probe on a point and touch others in turn, until one beeps. */
export interface Sweep {
  /** Point number. */
  readonly hold: number;
  /** In the order to touch them. */
  readonly touch: readonly Contact[];
  /** `again`: what beeped against the odds; `narrow`: which of a row beeped; else new ground. */
  readonly why: 'again' | 'narrow' | 'new';
}

/** From so many points on each side a beep is heard twice before it counts. */
const SOME_SIZE = 2;

/** However many points two nets have, a joint is worth no more than so many of single points. */
const MOST_GAIN = 4;

/** How many nets are looked at anew for one answer: of those that changed much, and of the others. */
const DUE_LOOKS = 150;
const LOOKS = 20;

interface Offer {
  readonly contacts: readonly Contact[];
  /** Joins expected per second. */
  readonly score: number;
}

/** What has to be asked before anything else. */
interface Pending {
  readonly hold: number;
  readonly points: readonly number[];
  readonly why: 'again' | 'narrow';
}

/** Chooses sweeps for a map that changes meanwhile. */
export class SweepPlanner {
  readonly #map: NetMap;
  readonly #offers = new Map<number, Offer>();
  readonly #rows: readonly (readonly number[])[];
  /** Work space: by net, then by row; and by net, 1 where a touch already chosen takes it in. */
  readonly #worth: Float64Array;
  readonly #numbers: Int32Array;
  readonly #covered: Uint8Array;
  /** Nets to look at anew before the next choice. */
  readonly #due = new Set<number>();
  /** Nets to look at anew by and by, and before giving up: little changed for them. */
  readonly #stale: Set<number>;
  #held: number | undefined;
  #pending: Pending | undefined;

  constructor(map: NetMap) {
    this.#map = map;
    this.#rows = rowsOf(map.problem, map.figures.rowPoints);
    const count = map.problem.points.length;
    this.#worth = new Float64Array(count + this.#rows.length);
    this.#numbers = new Int32Array(count + this.#rows.length);
    this.#covered = new Uint8Array(count);
    this.#stale = new Set(map.nets());
    if (map.problem.ground !== undefined) this.#due.add(map.netOf(map.problem.ground));
  }

  /**
   * Takes in an answer: the contacts touched before the last were quiet.
   * @param beeped which contact of the sweep beeped; none: all were quiet
   */
  take(sweep: Sweep, beeped: number | undefined): void {
    for (const [at, { points }] of sweep.touch.entries()) {
      this.read(sweep.hold, points, at === beeped);
      if (at === beeped) break;
    }
  }

  /** Takes in one touch of a point, or of a row of points at once. */
  read(hold: number, points: readonly number[], isBeep: boolean): void {
    const pending = this.#pending;
    this.#held = hold;
    this.#pending = undefined;
    const [point] = points;
    if (point === undefined) return;
    if (points.length === 1) this.#readOne(hold, point, isBeep);
    else if (isBeep) this.#pending = { hold, points, why: 'narrow' };
    else this.#readQuietRow(hold, points);
    if (!isBeep && pending?.why === 'narrow' && pending.hold === hold) {
      const rest = pending.points.filter((each) => !points.includes(each));
      if (rest.length > 0) this.#pending = { ...pending, points: rest };
    }
  }

  #readOne(a: number, b: number, isBeep: boolean): void {
    const map = this.#map;
    const one = map.netOf(a);
    const other = map.netOf(b);
    if (one === other) return;
    map.count(one, other, isBeep);
    if (isBeep && this.#isSure(one, other)) {
      const joined = map.join(one, other);
      const gone = joined === one ? other : one;
      for (const set of [this.#offers, this.#due, this.#stale]) set.delete(gone);
      this.#due.add(joined);
      return;
    }
    if (isBeep) this.#pending = this.#again(a, b);
    this.#due.add(one);
    this.#stale.add(other);
  }

  /** Two beeps that nothing speaks against are believed whatever the odds were. */
  #isSure(one: number, other: number): boolean {
    const { sure, slipRatio } = this.#map.figures;
    const odds = this.#map.tallyOf(one, other)?.odds ?? 0;
    const beep = Math.log((1 - slipRatio) / slipRatio);
    if (odds >= 1.99 * beep) return true;
    // Two nets of some size made one by a wrong beep would be wrong in all their points.
    const sizes = [one, other].map((net) => this.#map.pointsOf(net).length);
    return Math.min(...sizes) < SOME_SIZE && this.#map.chanceOf(one, other) >= sure;
  }

  /**
   * How to hear a beep again. Of nets of some size between other points than those that beeped: one
   * point that is on its net by a wrong beep would join them with every right one.
   */
  #again(a: number, b: number): Pending {
    const [one, other] = [a, b].map((point) => this.#map.netOf(point)) as [number, number];
    const isSized = [one, other].every((net) => this.#map.pointsOf(net).length >= SOME_SIZE);
    if (!isSized) return { hold: a, points: [b], why: 'again' };
    return {
      hold: this.#besides(one, a),
      points: [this.#besides(other, b)],
      why: 'again',
    };
  }

  #besides(net: number, point: number): number {
    return this.#map.reachable(net).find((each) => each !== point) ?? point;
  }

  #readQuietRow(hold: number, points: readonly number[]): void {
    const map = this.#map;
    const held = map.netOf(hold);
    const others = new Set(points.map((point) => map.netOf(point)));
    others.delete(held);
    for (const other of others) map.count(held, other, false, true);
    this.#due.add(held);
    for (const other of others) this.#stale.add(other);
  }

  #look(net: number): void {
    this.#due.delete(net);
    this.#stale.delete(net);
    this.#offers.set(net, this.#offer(net));
  }

  #lookAround(): void {
    // So many have changed only where a record was read: those read last first.
    for (const net of [...this.#due].slice(0, -DUE_LOOKS)) {
      this.#due.delete(net);
      this.#stale.add(net);
    }
    for (const net of [...this.#due]) this.#look(net);
    let left = LOOKS;
    for (const net of this.#stale) {
      if (left-- === 0) return;
      this.#look(net);
    }
  }

  /** The sweep that finds most for its time; undefined when no pair is likely enough to ask for. */
  next(): Sweep | undefined {
    if (this.#pending !== undefined) return this.#narrow(this.#pending);
    this.#lookAround();
    for (;;) {
      const net = this.#best();
      if (net === undefined) {
        if (this.#stale.size === 0) return undefined;
        this.#lookAround();
        continue;
      }
      const fresh = this.#offer(net);
      const before = this.#offers.get(net)!;
      this.#offers.set(net, fresh);
      if (fresh.score < before.score * (1 - 1e-6)) continue;
      const isHeld =
        this.#held !== undefined &&
        this.#map.netOf(this.#held) === net &&
        !this.#map.isSkipped(this.#held);
      const hold = isHeld ? (this.#held as number) : handiest(this.#map, net);
      const touch = fresh.contacts.map((contact) => this.#notBeside(hold, contact));
      return { hold, touch, why: 'new' };
    }
  }

  /** Where a part should keep two nets apart, they are read between points that are not both its own. */
  #notBeside(hold: number, contact: Contact): Contact {
    const { points, parts } = this.#map.problem;
    const own = parts[points[hold]!.part]!;
    const [point = -1, ...others] = contact.points;
    if (!own.isApart || others.length > 0 || !own.points.includes(point)) return contact;
    const net = this.#map.reachable(this.#map.netOf(point));
    const other = net.find((each) => !own.points.includes(each));
    return other === undefined ? contact : { ...contact, points: [other] };
  }

  /** The part of a row that weighs half; of two points left the likelier. */
  #narrow({ hold, points, why }: Pending): Sweep {
    const map = this.#map;
    const chances = map.chances(map.netOf(hold));
    const weightOf = (point: number): number => Math.max(chances[map.netOf(point)] ?? 0, 1e-9);
    // What was read quiet by itself is touched alone again only where nothing else is left.
    const held = map.netOf(hold);
    const likely = points.filter((point) => map.tallyOf(held, map.netOf(point))?.isQuiet !== true);
    const left = likely.length === 0 ? points : likely;
    const whole = left.reduce((sum, point) => sum + weightOf(point), 0);
    let count = 1;
    let weight = weightOf(left[0] ?? -1);
    while (count < left.length - 1 && weight + weightOf(left[count] ?? -1) / 2 < whole / 2) {
      weight += weightOf(left[count] ?? -1);
      count += 1;
    }
    const chance = left.length === 1 ? 0.5 : weight / whole;
    return { hold, touch: [{ points: between(points, left.slice(0, count)), chance }], why };
  }

  #best(): number | undefined {
    let best: number | undefined;
    let most = 0;
    const held = this.#held === undefined ? -1 : this.#map.netOf(this.#held);
    for (const [net, { score }] of this.#offers) {
      const worth = net === held ? score * 1.2 : score;
      if (worth > most) {
        most = worth;
        best = net;
      }
    }
    return best;
  }

  #offer(net: number): Offer {
    const { mostTouches, sweepPoints, holdSeconds, touchSeconds, keySeconds } = this.#map.figures;
    if (this.#map.reachable(net).length === 0) return { contacts: [], score: 0 };
    // What is left of the chance that none before beeps: later ones are touched only then.
    let quiet = 1;
    let touches = 0;
    let found = 0;
    let score = 0;
    let count = 0;
    const contacts: Contact[] = [];
    for (const contact of this.#contacts(net)) {
      const { chance, points } = contact;
      if (contacts.length < sweepPoints) contacts.push(contact);
      touches += quiet * (1 + chance * narrowing(points.length));
      found += Math.min(chance, quiet) * this.#gain(net, points);
      quiet = Math.max(quiet - chance, 0.02);
      const seconds =
        holdSeconds + keySeconds * (1 + touches / sweepPoints) + touchSeconds * touches;
      if (found / seconds > score) {
        score = found / seconds;
        count += 1;
      } else if (chance < 0.3 * (found / touches)) break;
    }
    if (score * touchSeconds < 1 / mostTouches) return { contacts: [], score: 0 };
    return { contacts: contacts.slice(0, count), score };
  }

  /** What a joint is worth: two nets of many points left apart are wrong in many points. */
  #gain(net: number, points: readonly number[]): number {
    if (points.length > 1) return 1;
    const other = this.#map.pointsOf(this.#map.netOf(points[0]!)).length;
    return Math.min(MOST_GAIN, Math.sqrt(Math.min(other, this.#map.pointsOf(net).length)));
  }

  /** Points and rows to touch, those first that find most for a touch; no net twice. */
  *#contacts(net: number): Generator<Contact> {
    const map = this.#map;
    const chances = map.chances(net);
    const count = chances.length;
    // By number: nets, then rows.
    const worth = this.#worth;
    const numbers = this.#numbers;
    let left = 0;
    for (let other = 0; other < count; other++) {
      worth[other] = chances[other]!;
      if (chances[other]! > 0) numbers[left++] = other;
    }
    for (let at = 0; at < this.#rows.length; at++) {
      const row = this.#rows[at]!;
      const chance = this.#rowChance(net, row, chances);
      if (chance <= 0) continue;
      worth[count + at] = chance / (1 + chance * narrowing(row.length));
      numbers[left++] = count + at;
    }
    const covered = this.#covered.fill(0);
    const best = new BestFirst(worth, numbers.subarray(0, left));
    for (let number = best.draw(); number !== undefined; number = best.draw()) {
      if (number < count) {
        if (covered[number] === 1) continue;
        covered[number] = 1;
        yield { points: [handiest(map, number)], chance: worth[number]! };
        continue;
      }
      const points = this.#rows[number - count]!;
      const nets = points.map((point) => map.netOf(point));
      const fresh = nets.filter((each) => covered[each] === 0 && chances[each]! > 0);
      if (fresh.length === 0 || 2 * fresh.length < nets.length) continue;
      for (const each of nets) covered[each] = 1;
      const chance = this.#rowChance(net, points, chances);
      yield { points, chance };
    }
  }

  /** None where a point of the row is on the net already: it would beep for that. */
  #rowChance(net: number, row: readonly number[], chances: Float64Array): number {
    const map = this.#map;
    let chance = 0;
    const nets: number[] = [];
    for (const point of row) {
      const other = map.netOf(point);
      if (other === net || map.isSkipped(point)) return 0;
      if (nets.includes(other)) continue;
      nets.push(other);
      chance += chances[other]!;
    }
    return nets.length < 2 ? 0 : Math.min(chance, 0.98);
  }
}

/** Of a row, from the first of some points to the last: a strip cannot leave out what lies between. */
function between(row: readonly number[], some: readonly number[]): readonly number[] {
  const first = row.indexOf(some[0] ?? -1);
  const last = row.indexOf(some.at(-1) ?? -1);
  return first < 0 ? some : row.slice(first, last + 1);
}

/** Touches it takes, on average, to tell which of so many points it was. */
function narrowing(points: number): number {
  return points === 1 ? 0 : Math.log2(points) + 1;
}

/** Ends of two-legged parts are the easiest to touch. */
function handiest(map: NetMap, net: number): number {
  const points = map.reachable(net);
  return points.find((point) => HANDY.has(map.problem.points[point]!.role)) ?? points[0]!;
}

const HANDY: ReadonlySet<string> = new Set(['end', 'bypass', 'line', 'ground', 'supply', 'plug']);
