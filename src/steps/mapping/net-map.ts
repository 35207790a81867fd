import type { MapFigures, NetShares } from './figures.ts';
import type { MapProblem } from './problem.ts';
import { Pull } from './pull.ts';

/** What was read between two nets. */
interface Tally {
  /** Touches of one point each, less for a row at once: what they say for a joint, ln of the odds. */
  odds: number;
  /** Every such touch was quiet, and one was of a single point. */
  isQuiet: boolean;
  /**
   * How often a quiet followed on a beep. Where a point or a part joins what is not joined, both stay
   * true however often they are read: each such quiet weighs more, so that it comes to an end.
   */
  disputes: number;
}

/** Chance that a net which looks like a rail has more points than were found. */
const RAIL_OPEN = 0.97;

/**
 * Nets of so many points are asked for though a part has a leg on each and should keep them apart: what
 * joins its legs is a fuse or a shunt beside it, on so many of the parts that should.
 */
const BRIDGED_SIZE = 2;
const BRIDGED_SHARE = 0.05;

/** However much was read quiet, so much is left: some touch may have been wrong. */
const LEAST_LEFT = 1e-3;

/** Pull of a net on every net, by its number; 0 on the numbers that nets have lost. */
interface Rows<Floats = Float32Array> {
  readonly signal: Floats;
  readonly rail: Floats;
}

/**
 * The nets as far as readings have it: points known to be joined, what was read between nets, and
 * the chance of any two to be one. A net goes by the number of one of its points.
 */
export class NetMap {
  readonly problem: MapProblem;
  readonly figures: MapFigures;
  readonly #pull: Pull;
  readonly #root: Int32Array;
  readonly #members: number[][];
  /** Of nets of several points; those of one are worked out when asked for. */
  readonly #rows = new Map<number, Rows>();
  readonly #tallies: Map<number, Tally>[];
  readonly #skipped = new Set<number>();
  /** By net: whole pull as a signal and as a rail, and what is left of the chance of all it could be. */
  readonly #signalMass: Float64Array;
  readonly #railMass: Float64Array;
  readonly #left: Float64Array;
  /** 1 where the three above hold. */
  readonly #known: Uint8Array;
  /** By net, the chances to be of each sort. */
  readonly #ground: Float64Array;
  readonly #rail: Float64Array;
  readonly #signal: Float64Array;
  /** By net, the chance that it has more points, if it is a signal. */
  readonly #open: Float64Array;
  /** Work space by net: of the net that is asked for, and of those looked at on the way. */
  readonly #here: Rows<Float64Array>;
  readonly #aside: Rows<Float64Array>;
  readonly #fits: Float64Array;
  readonly #chances: Float64Array;
  #isBegun = false;

  constructor(problem: MapProblem, figures: MapFigures) {
    this.problem = problem;
    this.figures = figures;
    this.#pull = new Pull(problem, figures);
    const count = problem.points.length;
    this.#root = Int32Array.from({ length: count }, (_, point) => point);
    this.#members = Array.from({ length: count }, (_, point) => [point]);
    this.#tallies = Array.from({ length: count }, () => new Map());
    this.#signalMass = new Float64Array(count);
    this.#railMass = new Float64Array(count);
    this.#left = new Float64Array(count);
    this.#known = new Uint8Array(count);
    this.#ground = new Float64Array(count);
    this.#rail = new Float64Array(count);
    this.#signal = new Float64Array(count);
    this.#open = new Float64Array(count);
    this.#here = { signal: new Float64Array(count), rail: new Float64Array(count) };
    this.#aside = { signal: new Float64Array(count), rail: new Float64Array(count) };
    this.#fits = new Float64Array(count).fill(1);
    this.#chances = new Float64Array(count);
    for (let net = 0; net < count; net++) this.#sort(net);
  }

  netOf(point: number): number {
    return this.#root[point]!;
  }

  pointsOf(net: number): readonly number[] {
    return this.#members[net]!;
  }

  /** Takes a point out of what is asked for: no probe gets there. */
  skip(point: number): void {
    this.#skipped.add(point);
  }

  /** The points of a net that a probe reaches. */
  reachable(net: number): readonly number[] {
    const members = this.#members[net]!;
    if (this.#skipped.size === 0) return members;
    return members.filter((point) => !this.#skipped.has(point));
  }

  isSkipped(point: number): boolean {
    return this.#skipped.has(point);
  }

  /** Numbers of all nets. */
  nets(): number[] {
    return this.#members.flatMap((members, net) => (members.length > 0 ? [net] : []));
  }

  tallyOf(a: number, b: number): Readonly<Tally> | undefined {
    return this.#tallies[a]!.get(b);
  }

  /**
   * Takes in one touch between two nets.
   * @param isRow quiet while many points were touched at once, of which one may have missed
   */
  count(a: number, b: number, isBeep: boolean, isRow = false): void {
    const { slipRatio, rowSlipRatio } = this.figures;
    const slip = isRow ? rowSlipRatio : slipRatio;
    const known = this.#tallies[a]!.get(b) ?? { odds: 0, isQuiet: false, disputes: 0 };
    const odds = Math.log((1 - slip) / slip) * (isBeep ? 1 : -1 - known.disputes);
    const tally = {
      odds: known.odds + odds,
      isQuiet: !isBeep && (!isRow || known.isQuiet),
      disputes: known.disputes + (!isBeep && known.odds > 0 ? 1 : 0),
    };
    this.#tallies[a]!.set(b, tally);
    this.#tallies[b]!.set(a, tally);
    this.#known[a] = 0;
    this.#known[b] = 0;
    const ground = this.#groundNet();
    if (a === ground || b === ground) this.#renew(a === ground ? b : a);
  }

  /** Makes two nets one; gives its number. */
  join(a: number, b: number): number {
    if (a === b) return a;
    const [kept, gone] = this.#members[a]!.length >= this.#members[b]!.length ? [a, b] : [b, a];
    this.#joinRows(kept, gone);
    for (const point of this.#members[gone]!) this.#root[point] = kept;
    this.#members[kept]!.push(...this.#members[gone]!);
    this.#members[gone] = [];
    this.#moveTallies(kept, gone);
    this.#renew(kept);
    return kept;
  }

  /** Chance that two nets are one, with all that was read between them. */
  chanceOf(a: number, b: number): number {
    if (a === b || this.reachable(b).length === 0) return 0;
    this.#weigh(a, this.#here);
    const apart = this.#apartFrom(a).has(b) ? BRIDGED_SHARE : 1;
    return this.#chance(a, b, this.#fitOf(a, b) * apart);
  }

  /**
   * Chance of every net to be the same one as this, by number; 0 for numbers that are no net's.
   * @returns work space: it holds until the next call
   */
  chances(net: number): Float64Array {
    const chances = this.#chances;
    const fits = this.#fits;
    if (!this.#isBegun) this.#begin();
    this.#weigh(net, this.#here);
    for (const [other, { odds }] of this.#tallies[net]!) fits[other] = Math.exp(odds);
    const aparts = this.#apartFrom(net);
    for (const apart of aparts) fits[apart]! *= BRIDGED_SHARE;
    for (let other = 0; other < chances.length; other++) {
      chances[other] = other === net ? 0 : this.#chance(net, other, fits[other]!);
    }
    for (const other of this.#tallies[net]!.keys()) fits[other] = 1;
    for (const apart of aparts) fits[apart] = 1;
    for (const point of this.#skipped) {
      const other = this.#root[point]!;
      if (this.reachable(other).length === 0) chances[other] = 0;
    }
    return chances;
  }

  /** Works out at once what each lone point is pulled by, as far as nothing is known of it: one by one takes twice as long. */
  #begin(): void {
    this.#isBegun = true;
    const lone = this.#lonePoints();
    if (2 * lone.length < this.problem.points.length) return;
    const ofNet = (values: (net: number) => number): Float64Array =>
      Float64Array.from(this.#root, values);
    const { signal, rail } = this.#pull.masses(
      ofNet((net) => this.#open[net]! * this.#signal[net]!),
      ofNet((net) => this.#rail[net]!),
    );
    for (const net of lone) {
      this.#signalMass[net] = signal[net]!;
      this.#railMass[net] = rail[net]!;
      this.#left[net] = 1;
      this.#known[net] = 1;
    }
  }

  /** Points of parts of which nothing was read nor is known. */
  #lonePoints(): readonly number[] {
    const isLone = (point: number): boolean =>
      this.#members[point]!.length === 1 && this.#tallies[point]!.size === 0;
    return this.problem.parts.flatMap(({ points }) => (points.every(isLone) ? points : []));
  }

  /** @param fit what readings make of it; the first net was weighed just now */
  #chance(net: number, other: number, fit: number): number {
    const s = this.#here.signal[other]!;
    const r = this.#here.rail[other]!;
    if (s <= 0 && r <= 0) return 0;
    const ground = this.#groundNet();
    if (net === ground || other === ground) {
      const one = net === ground ? other : net;
      return Math.min((this.#ground[one]! * fit) / this.#leftOf(one), 1);
    }
    const left = this.#leftOf(other);
    const mine = this.#share(
      net,
      s * this.#open[other]! * this.#signal[other]!,
      r * this.#rail[other]!,
    );
    const theirs = this.#share(
      other,
      s * this.#open[net]! * this.#signal[net]!,
      r * this.#rail[net]!,
    );
    return Math.min(Math.max((mine * fit) / this.#left[net]!, (theirs * fit) / left), 1);
  }

  /** Chance before any reading that a net is joined to another that pulls so much. */
  #share(net: number, signal: number, rail: number): number {
    const s = this.#signalMass[net]!;
    const r = this.#railMass[net]!;
    const chance =
      (s > 0 ? (this.#signal[net]! * this.#open[net]! * signal) / s : 0) +
      (r > 0 ? (RAIL_OPEN * this.#rail[net]! * rail) / r : 0);
    // What lies beside a bus pulls harder than the mass of the other side knows of.
    return Math.min(chance, 1);
  }

  #leftOf(net: number): number {
    if (this.#known[net] === 0) this.#weigh(net, this.#aside);
    return this.#left[net]!;
  }

  /** Pull on every net, put into `rows`; works out the masses of the net on the way. */
  #weigh(net: number, { signal, rail }: Rows<Float64Array>): void {
    if (this.#members[net]!.length > 1) {
      const rows = this.#rowsOf(net);
      signal.set(rows.signal);
      rail.set(rows.rail);
    } else {
      signal.fill(0);
      rail.fill(0);
      this.#addPull(net, { signal, rail });
    }
    this.#liftBeside(net, signal);
    signal[net] = 0;
    rail[net] = 0;
    const isSmall = this.#members[net]!.length < BRIDGED_SIZE;
    for (const apart of this.#apartFrom(net)) {
      if (!isSmall && this.#members[apart]!.length >= BRIDGED_SIZE) continue;
      signal[apart] = 0;
      rail[apart] = 0;
    }
    if (this.#known[net] === 0) this.#workOut(net, signal, rail);
  }

  #workOut(net: number, signal: Float64Array, rail: Float64Array): void {
    this.#sort(net);
    let s = 0;
    let r = 0;
    for (let other = 0; other < signal.length; other++) {
      s += signal[other]! * this.#open[other]! * this.#signal[other]!;
      r += rail[other]! * this.#rail[other]!;
    }
    this.#signalMass[net] = s;
    this.#railMass[net] = r;
    const ground = this.#groundNet();
    let gone = 0;
    for (const [other] of this.#tallies[net]!) {
      const share =
        other === ground
          ? this.#ground[net]!
          : this.#share(
              net,
              signal[other]! * this.#open[other]! * this.#signal[other]!,
              rail[other]! * this.#rail[other]!,
            );
      gone += share * (1 - this.#fitOf(net, other));
    }
    this.#left[net] = Math.max(1 - gone, LEAST_LEFT);
    this.#known[net] = 1;
  }

  /** Pins beside pins that are joined already, of the same two parts. */
  #liftBeside(net: number, signal: Float64Array): void {
    const { points, parts } = this.problem;
    for (const point of this.#members[net]!.length < 4 ? this.#members[net]! : []) {
      for (const beside of besidesOf(points[point]!.part, point, parts)) {
        const joined = this.#members[this.#root[beside]!]!;
        if (joined.length > 4 || this.#root[beside] === net) continue;
        for (const far of joined) {
          if (far === beside) continue;
          for (const other of besidesOf(points[far]!.part, far, parts)) {
            signal[this.#root[other]!]! *= this.figures.beside;
          }
        }
      }
    }
  }

  /** What the readings between two nets make of their chance. */
  #fitOf(a: number, b: number): number {
    const tally = this.#tallies[a]!.get(b);
    if (tally === undefined) return 1;
    return Math.exp(tally.odds);
  }

  #groundNet(): number {
    const { ground } = this.problem;
    return ground === undefined ? -1 : this.#root[ground]!;
  }

  /** Of which sort a net is, from its points and how many they are. */
  #sort(net: number): void {
    const members = this.#members[net]!;
    const isGround = net === this.#groundNet();
    let ground = 1;
    let rail = 1;
    let signal = 1;
    if (members.length >= this.figures.railPoints || isGround) {
      // Found apart from ground, it may be a part of it all the same.
      ground = isGround ? 1 : 0.2;
      rail = isGround ? 0 : 0.77;
      signal = 0.03;
    } else {
      let whole = 1;
      for (const point of members) {
        const shares = this.#sharesOf(point);
        ground *= shares.ground;
        rail *= shares.rail;
        signal *= shares.signal;
        const sum = ground + rail + signal;
        whole = sum + (members.length === 1 ? shares.alone : 0);
        ground /= sum;
        rail /= sum;
        signal /= sum;
      }
      if (members.length === 1) {
        const sum = ground + rail + signal;
        const part = Math.min(1, 1 / whole) * (this.#joinedShare(members[0]!) / sum);
        ground *= part * whole;
        rail *= part * whole;
        signal *= part * whole;
      }
    }
    this.#ground[net] = ground;
    this.#rail[net] = rail;
    this.#signal[net] = signal;
    const { open } = this.figures;
    this.#open[net] = open[Math.min(members.length, open.length) - 1] ?? 0;
  }

  #joinedShare(point: number): number {
    return 1 - this.#sharesOf(point).alone;
  }

  #sharesOf(point: number): NetShares {
    const { parts, points } = this.problem;
    const { role, part } = points[point]!;
    const { shares, besideGround, besideOther } = this.figures;
    if (role !== 'bypass') return shares[role];
    const [other] = parts[part]!.points.filter((each) => each !== point);
    const ground = this.#groundNet();
    if (other === undefined || ground < 0) return shares.bypass;
    const net = this.#root[other]!;
    if (net === ground) return besideGround;
    const tally = this.#tallies[net]!.get(ground);
    return tally !== undefined && tally.odds < 0 ? besideOther : shares.bypass;
  }

  /** Keeps what rows there are right: to be called before two nets are one. */
  #joinRows(kept: number, gone: number): void {
    const rows = this.#rows.get(kept);
    if (rows !== undefined) this.#addPull(gone, rows);
    this.#rows.delete(gone);
    for (const { signal, rail } of this.#rows.values()) {
      signal[kept]! += signal[gone]!;
      rail[kept]! += rail[gone]!;
      signal[gone] = 0;
      rail[gone] = 0;
    }
  }

  /** Rows of a net of several points: worked out when first asked for, as a replay joins many before that. */
  #rowsOf(net: number): Rows {
    const held = this.#rows.get(net);
    if (held !== undefined) return held;
    const count = this.#root.length;
    const rows = { signal: new Float32Array(count), rail: new Float32Array(count) };
    this.#addPull(net, rows);
    this.#rows.set(net, rows);
    return rows;
  }

  #addPull(net: number, { signal, rail }: Rows<Float32Array | Float64Array>): void {
    for (const point of this.#members[net]!) this.#pull.addTo(signal, rail, point, this.#root);
  }

  /** What was worked out for a net and for those its parts reach to holds no more. */
  #renew(net: number): void {
    this.#known[net] = 0;
    this.#sort(net);
    for (const apart of this.#apartFrom(net)) {
      this.#known[apart] = 0;
      this.#sort(apart);
    }
  }

  #apartFrom(net: number): Set<number> {
    const { parts, points } = this.problem;
    const nets = new Set<number>();
    for (const point of this.#members[net]!) {
      const part = parts[points[point]!.part]!;
      if (!part.isApart) continue;
      for (const sibling of part.points) {
        const other = this.#root[sibling]!;
        if (other !== net) nets.add(other);
      }
    }
    return nets;
  }

  #moveTallies(kept: number, gone: number): void {
    const target = this.#tallies[kept]!;
    for (const [other, tally] of this.#tallies[gone]!) {
      this.#tallies[other]!.delete(gone);
      if (other === kept) continue;
      const known = target.get(other);
      const sum = {
        odds: tally.odds + (known?.odds ?? 0),
        isQuiet: tally.isQuiet || known?.isQuiet === true,
        disputes: tally.disputes + (known?.disputes ?? 0),
      };
      target.set(other, sum);
      this.#tallies[other]!.set(kept, sum);
    }
    target.delete(gone);
    this.#tallies[gone] = new Map();
  }
}

/** The pins before and after one, in the order its part lists them. */
function besidesOf(part: number, point: number, parts: MapProblem['parts']): readonly number[] {
  const { points } = parts[part]!;
  if (points.length < 5) return [];
  const at = points.indexOf(point);
  return [points[at - 1], points[at + 1]].flatMap((each) => (each === undefined ? [] : [each]));
}
