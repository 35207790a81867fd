import { CopperCases } from './copper-cases.ts';
import type { CopperGroup, CopperReading } from './copper-readings.ts';
import { byWhoLeftFirst, haveParted } from './departed.ts';
import { addOuter, conditioned, type Foreseen, logSum } from './gauss.ts';
import { allWrong, type Doubts, measuredOf } from './measured.ts';
import { type OhmsComponent, ohmsComponents } from './ohms-prior.ts';
import { lookAtPairs, type PairLook } from './pair-look.ts';
import type { Place } from './place.ts';
import type { Short } from './short.ts';
import type { Form, Term } from './term.ts';
import { covariance, type Measured, meanOf, prepare, weighCase } from './weigh-case.ts';

/**
 * The copper goes as none of the ways listed, and few readings cannot tell: their likelihood counts by a half
 * at first, and in full from so many readings on. Set by the benchmark of hidden copper, so that what is said
 * of a suspect is so as often as it is said.
 */
const FULL_READINGS = 8;
/** Components of a short's unknown ohms: alone, and with others beside it. */
const FINE = 11;
const COARSE = 6;
const COARSEST = 3;
const MOST_LEVELS = 2;
/** Shorts by which the ways of the copper are judged, and the share of weight below which one is left out. */
const JUDGES = 10;
const LEAST_FORM_SHARE = 5e-3;
const MOST_FORMS = 14;
/** Fewer readings than this tell next to nothing of where the copper goes: so many ways stand for all. */
const TELLING_READINGS = 4;
const FEW_FORMS = 6;
/** A short that the likeliest ways of the copper put this far below the best, ln, is not weighed on the others. */
const ROUGH = { forms: 3, gap: 8 };
const ROUGHEST = { forms: 1, gap: 16 };
/** What steps of ohms leave between them, as a ratio of them. */
const SPREAD_OHMS: readonly OhmsComponent[] = [{ weight: 1, mean: 1, deviation: 0.4 }];
/** A short this many spreads below its median, times so much, and still above all readings is none of them. */
const FAR_SPREADS = 2.5;
const FAR_RATIO = 1.5;
/** How often readings from before a short came out are told by several shorts and not by that one. Default. */
const SEVERAL_SHARE = 0.01;
/** More shorts than these in circuit together on one rail are weighed as the first ones. */
const MOST_SHORTS = 2;

/** One short that leaves less than this unexplained (ln) needs no second. */
const LEAST_MISFIT = 4;
/** Steps of ohms that two shorts are looked at with. */
const SCREEN_OHMS = [0.02, 0.12, 0.8];

/** Weighs the copper readings of one rail. */
export class GroupFit {
  readonly group: CopperGroup;
  readonly #doubts: Doubts;
  readonly #cases = new CopperCases();
  readonly #forms: readonly Form[];
  #kept: readonly Form[];
  #leading: Form | undefined;
  readonly #known = new Map<string, number>();
  readonly #best = new Map<string, Term>();
  /** The same on the likeliest way of the copper alone: what is foreseen of shorts differs by them, not by it. */
  readonly #lead = new Map<string, Term>();
  /** The same of some of the readings, by their ids. */
  readonly #among = new Map<string, Map<string, { log: number; best?: Term }>>();
  readonly #formsBy = new Map<string, readonly Form[]>();
  #shorts: readonly Short[] = [];
  /** All readings. */
  #measured: Measured | undefined;
  #lastPlace = '';
  readonly #prepared = new Map<Form, ReturnType<typeof prepare> | undefined>();

  constructor(group: CopperGroup, doubts: Doubts) {
    this.group = group;
    this.#doubts = doubts;
    this.#forms = group.copper.forms.map((form) => ({ ...form, log: Math.log(form.chance) }));
    this.#kept = this.#forms;
    this.#leading = this.#forms[0];
  }

  /**
   * Weighs all shorts that may be there alone: on the ways the copper may well be laid out, and those far
   * from the best on the likeliest of them only. To be called before anything is asked.
   */
  settle(shorts: readonly Short[]): void {
    this.#shorts = shorts;
    this.#settleForms(shorts);
    const kept = this.#kept;
    let left = shorts;
    for (const { forms, gap } of this.group.readings.length < TELLING_READINGS
      ? [ROUGH]
      : [ROUGHEST, ROUGH]) {
      if (kept.length <= forms) continue;
      this.#kept = kept.slice(0, forms);
      const logs = left.map((short) => this.#weigh([short]));
      const near = Math.max(...logs) - gap;
      left.forEach((short, k) => {
        this.#known.set(short.key, logs[k] as number);
      });
      left = left.filter((_, k) => (logs[k] as number) >= near);
    }
    this.#kept = kept;
    for (const short of left) this.#known.set(short.key, this.#weigh([short]));
  }

  #settleForms(shorts: readonly Short[]): void {
    const { readings } = this.group;
    const order = this.#judged(shorts, readings, this.#best);
    if (order.length === 0) return;
    const least = logSum(order.map(({ log }) => log)) + Math.log(LEAST_FORM_SHARE);
    const likely = order.filter(({ log }) => log >= least);
    const most = readings.length < TELLING_READINGS ? FEW_FORMS : MOST_FORMS;
    this.#kept = likely.slice(0, most).map(({ form }) => form);
    const plain = likely.find(({ form }) => form.members === undefined);
    this.#leading = readings.length <= TELLING_READINGS && plain ? plain.form : this.#kept[0];
    this.#lead.clear();
  }

  /** Ways of the copper by how well some of the shorts fit the readings on them, best first; none without such shorts. */
  #judged(
    shorts: readonly Short[],
    readings: readonly CopperReading[],
    terms: Map<string, Term>,
  ): { form: Form; log: number }[] {
    const some = shorts.filter((short) => readings.every(({ state }) => short.actsIn(state)));
    const step = Math.max(1, Math.floor(some.length / JUDGES));
    const judges = some.filter((_, k) => k % step === 0).slice(0, JUDGES);
    if (judges.length === 0) return [];
    const order = this.#forms.map((form) => {
      const logs = judges.map((short) => {
        const place = short.places[0] as Place;
        return form.log + this.#inForm(form, [short], [place], readings, terms);
      });
      return { form, log: logSum(logs) };
    });
    return order.sort((x, y) => y.log - x.log);
  }

  /** ln of the density of the readings when exactly these shorts join the sides. */
  log(shorts: readonly Short[]): number {
    const key = shorts.map((short) => short.key).join('+');
    let known = this.#known.get(key);
    if (known === undefined) {
      known = this.#weigh(shorts);
      this.#known.set(key, known);
    }
    return known;
  }

  #weigh(shorts: readonly Short[]): number {
    const { readings } = this.group;
    if (haveParted(shorts, readings)) {
      const { shares, rest } = byWhoLeftFirst(shorts, readings);
      return shares.reduce(
        (sum, { short, own }, k) => {
          if (own.length === 0) return sum;
          return sum + (k < shares.length - 1 ? this.before(short, own) : this.among(short, own));
        },
        allWrong(rest, this.#doubts),
      );
    }
    const some = shorts.slice(0, MOST_SHORTS);
    const ways = combinations(some.map(({ places }) => places));
    const logs = ways.map((places) => this.#atPlaces(some, places));
    const whole =
      logs.length === 0 ? allWrong(readings, this.#doubts) : logSum(logs) - Math.log(logs.length);
    return toned(whole, readings.length);
  }

  /** ln of the density of some of the readings with one short alone, on the ways of the copper that they make likeliest. */
  among(short: Short, readings: readonly CopperReading[]): number {
    return this.#amongOf(short, readings).log;
  }

  /** The same of readings from before a short came out: others may have been there too, and then it tells nothing. */
  before(short: Short, readings: readonly CopperReading[]): number {
    const none = toned(allWrong(readings, this.#doubts), readings.length);
    return logSum([this.among(short, readings), none + Math.log(SEVERAL_SHARE)]);
  }

  #amongOf(short: Short, readings: readonly CopperReading[]): { log: number; best?: Term } {
    const ids = readings.map(({ id }) => id).join(',');
    const known = this.#among.get(ids) ?? new Map<string, { log: number; best?: Term }>();
    this.#among.set(ids, known);
    let found = known.get(short.key);
    if (found === undefined) {
      const terms = new Map<string, Term>();
      const forms = this.#formsFor(readings, ids);
      const logs = short.places.flatMap((place) =>
        forms.map((form) => {
          return form.log + this.#inForm(form, [short], [place], readings, terms);
        }),
      );
      const log = toned(logSum(logs) - Math.log(short.places.length), readings.length);
      const best = terms.get(short.key);
      found = best === undefined ? { log } : { log, best };
      known.set(short.key, found);
    }
    return found;
  }

  /** The likeliest ways of the copper by some of the readings: those of before were of several shorts. */
  #formsFor(readings: readonly CopperReading[], ids: string): readonly Form[] {
    let forms = this.#formsBy.get(ids);
    if (forms === undefined) {
      const judged = this.#judged(this.#shorts, readings, new Map());
      forms = judged.map(({ form }) => form).slice(0, ROUGH.forms);
      if (forms.length === 0) forms = this.#kept;
      this.#formsBy.set(ids, forms);
    }
    return forms;
  }

  #atPlaces(shorts: readonly Short[], places: readonly Place[]): number {
    const { readings } = this.group;
    const live = readings.filter(({ state }) => shorts.some((short) => short.actsIn(state)));
    const dead = readings.filter((reading) => !live.includes(reading));
    const wrong = allWrong(dead, this.#doubts);
    if (live.length === 0) return wrong;
    const forms = shorts.length > 1 ? this.#bestForms(shorts) : this.#kept;
    return wrong + logSum(forms.map((form) => form.log + this.#inForm(form, shorts, places, live)));
  }

  /** The modes of a part, which differ in ohms alone, come one after the other: the last place is kept. */
  #preparedAt(
    form: Form,
    short: Short,
    places: readonly Place[],
    live: readonly CopperReading[],
    measured: Measured,
  ): ReturnType<typeof prepare> | undefined {
    const ids =
      live.length === this.group.readings.length ? '' : live.map(({ id }) => id).join(',');
    const at = `${places[0]?.join('-')} ${ids}`;
    if (this.#lastPlace !== at) {
      this.#lastPlace = at;
      this.#prepared.clear();
    }
    if (!this.#prepared.has(form)) {
      const one = this.#cases.caseOf(form, [short], places, [0], live);
      this.#prepared.set(form, one && prepare(one, measured));
    }
    return this.#prepared.get(form);
  }

  /** What the copper is likeliest to be if any of the shorts were alone: the others say little of several. */
  #bestForms(shorts: readonly Short[]): readonly Form[] {
    const found = new Set<Form>();
    for (const short of shorts) {
      this.log([short]);
      const best = this.#best.get(short.key);
      if (best !== undefined) found.add(best.form);
    }
    return found.size > 0 ? [...found] : this.#forms;
  }

  #inForm(
    form: Form,
    shorts: readonly Short[],
    places: readonly Place[],
    live: readonly CopperReading[],
    terms: Map<string, Term> = this.#best,
  ): number {
    const measured = this.#measuredOf(live);
    const [only, ...more] = shorts;
    if (only === undefined) return allWrong(live, this.#doubts);
    if (more.length === 0 && isFarAbove(only, measured)) return allWrong(live, this.#doubts);
    if (more.length === 0) {
      const prepared = this.#preparedAt(form, only, places, live, measured);
      if (prepared === undefined) return allWrong(live, this.#doubts);
      const components = ohmsComponents(only.median, only.spread, FINE);
      const isLead = form === this.#leading;
      let best: Term | undefined;
      const whole = weighCase(prepared, measured, components, (scale, short, own) => {
        const log = form.log + own;
        if (best !== undefined && log <= best.log) return;
        best = { scale, short, log, form, place: places[0] as Place };
      });
      if (best !== undefined) {
        keepTerm(terms, only, best);
        if (isLead && terms === this.#best) keepTerm(this.#lead, only, best);
      }
      return whole;
    }
    // Several share the current by their ohms: gone through in steps, what lies between as a spread.
    const levels = this.#tellingLevels(form, shorts, places, live);
    const logs = levels.map((ohms) => {
      const one = this.#cases.caseOf(
        form,
        shorts,
        places,
        ohms.map(({ mean }) => mean),
        live,
      );
      if (one === undefined) return allWrong(live, this.#doubts);
      const weight = ohms.reduce((product, component) => product * component.weight, 1);
      return Math.log(weight) + weighCase(prepare(one, measured), measured, SPREAD_OHMS);
    });
    return logSum(logs);
  }

  #measuredOf(live: readonly CopperReading[]): Measured {
    const { readings } = this.group;
    if (live.length < readings.length) return measuredOf(live, this.#doubts);
    this.#measured ??= measuredOf(readings, this.#doubts);
    return this.#measured;
  }

  /** Steps of ohms for several shorts: of two, those that fit about as well as the best. */
  #tellingLevels(
    form: Form,
    shorts: readonly Short[],
    places: readonly Place[],
    live: readonly CopperReading[],
  ): OhmsComponent[][] {
    const levelsOf = (count: number): OhmsComponent[][] =>
      combinations(shorts.map(({ median, spread }) => ohmsComponents(median, spread, count)));
    const [one, other] = places;
    const first = this.#best.get((shorts[0] as Short).key);
    const isPair = shorts.length === 2 && one !== undefined && other !== undefined;
    const acts = live.every(({ state }) => shorts.every((short) => short.actsIn(state)));
    if (!isPair || first === undefined || !acts) return levelsOf(COARSEST);
    const look = this.#pairLook({ ...first, form, place: one }, shorts[0] as Short);
    if (look === undefined) return levelsOf(COARSEST);
    const fit = look.beside(other);
    return levelsOf(COARSE)
      .map((level) => {
        const [x = 0, y = 0] = level.map(({ mean }) => mean);
        return { level, fit: fit(x, y) };
      })
      .sort((x, y) => y.fit - x.fit)
      .slice(0, MOST_LEVELS)
      .map(({ level }) => level);
  }

  /**
   * A quick look at what adding a second short to one would do: by how much, ln, the best density of all
   * readings would grow, over steps of both ohms, with the uncertainty of the first short alone.
   */
  screenFor(one: Short): PairScreen | undefined {
    if (!this.group.readings.every(({ state }) => one.actsIn(state))) return undefined;
    this.log([one]);
    const best = this.#best.get(one.key);
    const look = best && this.#pairLook(best, one);
    if (look === undefined || look.before > -LEAST_MISFIT) return undefined;
    return {
      most: -look.before,
      gain: ({ places: [at] }) => {
        if (at === undefined) return Number.NEGATIVE_INFINITY;
        const fit = look.beside(at);
        let most = Number.NEGATIVE_INFINITY;
        for (const x of SCREEN_OHMS) for (const y of SCREEN_OHMS) most = Math.max(most, fit(x, y));
        return most - look.before;
      },
    };
  }

  #pairLook(term: Term, one: Short): PairLook | undefined {
    return lookAtPairs(this.#cases, this.group.readings, this.#doubts, term, one);
  }

  /**
   * What further readings would be if one short alone joined the sides, given those taken: a Gaussian.
   * Undefined where they would find no way.
   * @param departed shorts that were there too, and are in circuit no more
   */
  foresee(
    short: Short,
    further: readonly CopperReading[],
    departed: readonly Short[] = [],
  ): Foreseen | undefined {
    const taken = this.group.readings.filter(
      ({ state }) => short.actsIn(state) && !departed.some((gone) => gone.actsIn(state)),
    );
    const { form, place, scale, mean, deviation } = this.#bestOf(short, taken, departed.length > 0);
    const all = [...taken, ...further];
    const one = this.#cases.caseOf(form, [short], [place], [0], all);
    if (one === undefined) return undefined;
    const n = all.length;
    const means = all.map((_, k) => meanOf(one, scale, k) + mean * (one.share[k] as number));
    const s = covariance(one, scale);
    all.forEach(({ noise }, k) => {
      s[k * n + k]! += noise ** 2;
    });
    addOuter(s, Float64Array.from(means), this.#doubts.gain ** 2);
    addOuter(s, one.share, deviation ** 2);
    return conditioned(
      means,
      s,
      taken.map(({ ohms }) => ohms),
    );
  }

  #bestOfAll(short: Short): Term | undefined {
    this.log([short]);
    return this.#lead.get(short.key) ?? this.#best.get(short.key);
  }

  /** The likeliest of what a short leaves open. */
  #bestOf(
    short: Short,
    taken: readonly CopperReading[],
    isLater: boolean,
  ): Pick<Term, 'form' | 'place' | 'scale'> & OhmsComponent {
    const best = isLater ? this.#amongOf(short, taken).best : this.#bestOfAll(short);
    if (best !== undefined && taken.length > 0) {
      const { form, place, scale, short: ohms } = best;
      return { form, place, scale, ...ohms, deviation: 2 * ohms.deviation };
    }
    const form = [...this.#kept].sort((x, y) => y.log - x.log)[0] as Form;
    const deviation = short.median * short.spread;
    const place = short.places[0] as Place;
    return { form, place, scale: 1, weight: 1, mean: short.median, deviation };
  }
}

/** Few readings count by less. */
function toned(log: number, readings: number): number {
  return log * (0.5 + 0.5 * Math.min(1, readings / FULL_READINGS));
}

/** What a second short would add to the best density beside a first one, ln. */
interface PairScreen {
  gain(other: Short): number;
  /** No gain is above this. */
  readonly most: number;
}

/** A leak of many ohms explains no reading of a few: all would be wrong. */
function isFarAbove({ median, spread }: Short, { ohms }: Measured): boolean {
  return median * Math.exp(-FAR_SPREADS * spread) > FAR_RATIO * Math.max(...ohms);
}

function keepTerm(known: Map<string, Term>, { key }: Short, term: Term): void {
  const held = known.get(key);
  if (held === undefined || term.log > held.log) known.set(key, term);
}

/** One of each, in all ways. */
function combinations<T>(lists: readonly (readonly T[])[]): T[][] {
  return lists.reduce<T[][]>(
    (ways, list) => ways.flatMap((way) => list.map((one) => [...way, one])),
    lists.length === 0 ? [] : [[]],
  );
}
