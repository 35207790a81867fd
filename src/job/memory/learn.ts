/**
 * What jobs of the past make of the chances of a board. Four levels: the handbooks, corrected by how they
 * fit a kind of part in this shop, then by what such a part is there for (`dutyOf`), then by the boards of
 * this model. Each level starts as the one above it has it and leaves it as evidence comes in (conjugate
 * priors: Gamma for rates, Beta for shares; Gelman et al., Bayesian Data Analysis, 2.6 and 5). What is
 * counted at one level is left out of those above it, so that nothing speaks twice.
 */
import { dutyOf } from '../../board/duty.ts';
import type { Board, Part } from '../../board/model.ts';
import type { Circuit } from '../../circuit/circuit.ts';
import { jointName, MOST_LEARNT, unitOf } from '../../faults/learnt.ts';
import { type Priors, priorsOf } from '../../faults/priors.ts';
import type { FaultSettings } from '../../faults/settings.ts';
import type { BenchTimes } from '../../steps/bench-times.ts';
import { learnMinutes, withLearntMinutes } from './bench-pace.ts';
import type { FactorFigure, MemoryFigures } from './figures.ts';
import { handKey } from './hand-key.ts';
import { kindFactor, MOST_KIND_FACTOR } from './kind-fit.ts';
import type { Lesson } from './lesson.ts';
import { type Past, pastOf } from './past.ts';
import type { MemoryRules } from './rules.ts';
import type { FoundSum, Tally } from './tally.ts';

/** A kind counts for a duty as if it had seen so many failures. */
const DUTY_STRENGTH = 3;
/** Told shorts and opens that the shares above count for: of a kind, and of one part. */
const KIND_SHARE_STRENGTH = 10;
const PART_SHARE_STRENGTH = 4;
/** That failures come by themselves is our assumption, and no handbook's: it counts as much as so many boards. */
const FURTHER_STRENGTH = 5;
/** What was missed is in no record but those of boards that came back: further failures are never written off. */
const LEAST_FURTHER = 0.1;
/** Of its own model a part speaks for its kind by so many failures: one that fails for ever speaks of its place. */
const MOST_FOR_KIND = 2;
/** Two units share a cause when they went together at least so often, and so many times oftener than by chance. */
const LEAST_TOGETHER = 1.5;
const TOGETHER_RATIO = 2;

/** A board, and how its shop works without a memory. */
export interface LearnFor {
  readonly circuit: Circuit;
  readonly settings: FaultSettings;
  readonly times: BenchTimes;
  readonly rules: MemoryRules;
}

export interface LearnFrom extends LearnFor {
  /** Lessons of this board's model. */
  readonly own: readonly Lesson[];
  /** Those of all other models, by model. */
  readonly others: readonly (readonly Lesson[])[];
}

/** What the lessons make of the board; undefined where none of them teaches anything. */
export function learn(from: LearnFrom): MemoryFigures | undefined {
  return learnOf(pastOf(from.own, from.others, from.rules), from);
}

/** The same of lessons that were added up. */
export function learnOf(
  past: Past,
  { circuit, settings, rules, times }: LearnFor,
): MemoryFigures | undefined {
  const pace = paceOf(past, times);
  const taught = past.own.boards + past.others.boards;
  if (taught === 0 && Object.keys(pace).length === 0) return undefined;
  const { learnt: _none, ...plain } = settings;
  const odds = new Odds(circuit, plain, past, rules);
  return {
    boards: past.last.boards,
    ...filled('failed', past.last.failed),
    ...odds.figures(),
    ...pace,
  };
}

/** Minutes of the shop, and from there those of each technician. */
function paceOf(
  { timings, hands }: Past,
  times: BenchTimes,
): Pick<MemoryFigures, 'minutes' | 'hands'> {
  const minutes = learnMinutes(timings, times);
  const usual = withLearntMinutes(times, minutes);
  const own = [...hands].map(([name, timed]) => [handKey(name), learnMinutes(timed, usual)]);
  return { ...filled('minutes', minutes), ...filled('hands', Object.fromEntries(own)) };
}

function filled<K extends string, V extends object>(key: K, map: V): { [P in K]?: V } {
  return (Object.keys(map).length === 0 ? {} : { [key]: map }) as { [P in K]?: V };
}

/** One board's chances, and what was counted of its model and of the others. */
class Odds {
  readonly #board: Board;
  readonly #circuit: Circuit;
  readonly #priors: Priors;
  readonly #own: Tally;
  readonly #others: Past['others'];
  readonly #strength: number;
  readonly #expectedFaults: number;
  /** Chance of all parts of a kind, and of a duty, on one board. */
  readonly #inAll = new Map<string, number>();
  readonly #counts = new Map<string, number>();
  /** What was found of them on this model. */
  readonly #found = new Map<string, FoundSum>();

  constructor(
    circuit: Circuit,
    settings: FaultSettings,
    { own, others }: Past,
    { strength }: MemoryRules,
  ) {
    this.#board = circuit.board;
    this.#circuit = circuit;
    this.#priors = priorsOf(circuit, settings);
    this.#expectedFaults = settings.expectedFaults;
    this.#own = own;
    this.#others = others;
    this.#strength = strength;
    for (const part of circuit.board.parts) {
      const chance = this.#chance(part);
      if (!(chance > 0)) continue;
      for (const key of [part.kind.name, dutyOf(circuit.board, part)]) {
        this.#inAll.set(key, (this.#inAll.get(key) ?? 0) + chance);
        this.#counts.set(key, (this.#counts.get(key) ?? 0) + 1);
        const found = this.#found.get(key) ?? NOTHING;
        this.#found.set(key, added(found, forKind(own.parts.get(part.name) ?? NOTHING)));
      }
    }
  }

  figures(): Omit<MemoryFigures, 'boards' | 'failed' | 'minutes'> {
    const together = this.#together();
    const kinds = this.#kinds();
    return {
      ...filled('kinds', kinds),
      'other-kinds': this.#otherKinds(),
      ...filled('duties', this.#duties(kinds)),
      ...filled('parts', this.#parts(together)),
      ...filled('joints', this.#joints()),
      'other-joints': rounded(this.#after(1, this.#jointsBefore(0), 0)),
      ...filled('banks', this.#banks()),
      'other-banks': rounded(this.#after(1, this.#banksBefore(0), 0)),
      ...(together.length === 0 ? {} : { together }),
      ...this.#further(),
    };
  }

  /**
   * A board comes in for one failure, as a rule: how many more there are once one was found, beside how many
   * there are on a board. Pairs stand for further ones, a third counts twice.
   */
  #further(): Pick<MemoryFigures, 'further'> {
    const [failures, more] = [this.#own.units, this.#own.pairs].map((all) => sum(all.values()));
    const boards = Math.max(0, (failures ?? 0) - (more ?? 0));
    if (boards === 0) return {};
    const listed = FURTHER_STRENGTH * this.#expectedFaults;
    const [onOne, further] = [listed + (failures ?? 0), listed + (more ?? 0)];
    return { further: rounded(Math.min(1, Math.max(LEAST_FURTHER, further / onOne))) };
  }

  /** Joints, and banks, in the shop; one of this model is left out, which is counted by itself. */
  #jointsBefore(found: number): number {
    const [own, others] = [this.#own, this.#others];
    const all = sum(own.joints.values()) + sum(others.joints.values()) - found;
    return kindFactor(all, own.expected.joints + others.expected.joints);
  }

  #banksBefore(found: number): number {
    const [own, others] = [this.#own, this.#others];
    const all = sum(own.banks.values()) + sum(others.banks.values()) - found;
    return kindFactor(all, own.expected.banks + others.expected.banks);
  }

  /** Beta: the chance `listed` × `before` counts as `strength` boards. As a factor on `listed`. */
  #after(listed: number, before: number, found: number): number {
    const { boards } = this.#own;
    const chance = Math.min(listed * before, Math.max(listed, MOST_LEARNT));
    const after = (this.#strength * chance + found) / (this.#strength + boards);
    return Math.min(after, Math.max(chance, MOST_LEARNT)) / listed;
  }

  /** Of a kind that no other model knows: what is left of the handbooks' figure, none having failed here. */
  #otherKinds(): number {
    return rounded(this.#strength / (this.#strength + this.#own.boards));
  }

  #kinds(): Record<string, FactorFigure> {
    const other = this.#otherKinds();
    const figures = this.#firstOf(({ kind }) => kind.name).map(
      ([name, part]) => [name, this.#figure(part, NOTHING)] as const,
    );
    return Object.fromEntries(figures.filter(([, figure]) => figure !== other));
  }

  /** Those whose figure is not that of their kind. */
  #duties(kinds: Readonly<Record<string, FactorFigure>>): Record<string, FactorFigure> {
    const other = this.#otherKinds();
    const figures = this.#firstOf((part) => dutyOf(this.#board, part)).flatMap(([duty, part]) => {
      const figure = this.#figure(part, NOTHING, duty);
      return `${figure}` === `${kinds[part.kind.name] ?? other}` ? [] : [[duty, figure] as const];
    });
    return Object.fromEntries(figures);
  }

  /** By name the first part that has it and can fail. */
  #firstOf(nameOf: (part: Part) => string): [string, Part][] {
    const first = new Map<string, Part>();
    for (const part of this.#board.parts) {
      const name = nameOf(part);
      if (!first.has(name) && this.#chance(part) > 0) first.set(name, part);
    }
    return [...first];
  }

  #parts(together: NonNullable<MemoryFigures['together']>): Record<string, FactorFigure> {
    const figures = new Map<string, FactorFigure>();
    const boards = this.#strength + this.#own.boards;
    for (const [name, found] of this.#own.parts) {
      const part = this.#board.partNamed.get(name);
      if (part === undefined || !(this.#chance(part) > 0)) continue;
      // What two units share is counted once.
      const shared = together
        .filter(([one, other]) => one === name || other === name)
        .reduce((total, [, , chance]) => total + (chance * boards) / 2, 0);
      const alone = { ...found, all: Math.max(0, found.all - shared) };
      figures.set(name, this.#figure(part, alone, dutyOf(this.#board, part)));
    }
    return Object.fromEntries(figures);
  }

  #joints(): Record<string, number> {
    const figures = new Map<string, number>();
    for (const pin of this.#board.pins) {
      const name = jointName(this.#board, pin);
      const found = this.#own.joints.get(name);
      const listed = this.#priors.joint[pin.index] ?? 0;
      if (found === undefined || !(listed > 0)) continue;
      figures.set(name, rounded(this.#after(listed, this.#jointsBefore(found), found)));
    }
    return Object.fromEntries(figures);
  }

  #banks(): Record<string, number> {
    const figures = new Map<string, number>();
    for (const [name, found] of this.#own.banks) {
      const bank = this.#priors.banks.find(
        ({ parts }) => this.#board.parts[parts[0] ?? -1]?.bank === name,
      );
      if (bank === undefined || !(bank.chance > 0)) continue;
      figures.set(name, rounded(this.#after(bank.chance, this.#banksBefore(found), found)));
    }
    return Object.fromEntries(figures);
  }

  /** What went together oftener than chance would have it; of two, one at least is a part of no bank. */
  #together(): [string, string, number][] {
    const { pairs, units, boards } = this.#own;
    const known = new Set(this.#board.parts.map(unitOf));
    return [...pairs].flatMap(([pair, count]) => {
      const [one = '', other = ''] = pair.split('\n');
      const single = [one, other].filter((unit) => this.#board.partNamed.has(unit));
      if (!known.has(one) || !known.has(other) || single.length === 0) return [];
      const byChance = ((units.get(one) ?? 0) * (units.get(other) ?? 0)) / boards;
      if (count < LEAST_TOGETHER || count < TOGETHER_RATIO * byChance) return [];
      // In such a failure each of the two goes with an even chance, so both go in part of them only.
      const chance = (2 * (count - byChance)) / (this.#strength + boards);
      return [[one, other, rounded(Math.min(chance, MOST_LEARNT))] as [string, string, number]];
    });
  }

  /**
   * @param found of this part, on boards of its model
   * @param duty where its level counts as well
   */
  #figure(part: Part, found: FoundSum, duty?: string): FactorFigure {
    const kind = this.#beside('kinds', part.kind.name, part);
    const before =
      duty === undefined
        ? kindFactor(kind.found.all, kind.expected)
        : dutyFactor(kind, this.#beside('duties', duty, part));
    const factor = this.#after(this.#chance(part), before, found.all);
    const listed = this.#shortShare(part);
    if (!(listed > 0.001 && listed < 0.999)) return rounded(factor);
    const ofKind = shareAfter(listed, kind.found, KIND_SHARE_STRENGTH);
    const share = shareAfter(ofKind, found, PART_SHARE_STRENGTH);
    const short = rounded((factor * share) / listed);
    const open = rounded((factor * (1 - share)) / (1 - listed));
    return short === open ? short : [short, open];
  }

  /** What the shop's parts of a kind or duty did without this part, and what was expected of them. */
  #beside(level: 'kinds' | 'duties', name: string, part: Part): Beside {
    const [own, others] = [this.#own, this.#others];
    const itself = own.parts.get(part.name);
    const here = added(this.#found.get(name) ?? NOTHING, forKind(itself ?? NOTHING), -1);
    // A part that never failed stands for all like it.
    const chance = this.#chance(part);
    const share =
      itself === undefined
        ? 1 / (this.#counts.get(name) ?? 1)
        : chance / (this.#inAll.get(name) ?? chance);
    const [ours, theirs] = [
      own.expected[level].get(name) ?? 0,
      others.expected[level].get(name) ?? 0,
    ];
    return {
      found: added(here, others[level].get(name) ?? NOTHING),
      expected: ours * (1 - share) + theirs,
    };
  }

  #chance({ index }: Part): number {
    return sum(this.#priors.modes[index] ?? []);
  }

  /** Share of a part's failures that leave a short. */
  #shortShare(part: Part): number {
    const modes = this.#circuit.models[part.index]?.modes ?? [];
    const chances = this.#priors.modes[part.index];
    const shorts = modes.reduce(
      (total, { opens }, k) => total + (opens ? 0 : (chances?.[k] ?? 0)),
      0,
    );
    return shorts / this.#chance(part);
  }
}

const NOTHING: FoundSum = { all: 0, short: 0, open: 0 };

/** What a part's failures on boards of its own model tell of its kind. */
function forKind({ all, short, open }: FoundSum): FoundSum {
  const part = all > MOST_FOR_KIND ? MOST_FOR_KIND / all : 1;
  return { all: all * part, short: short * part, open: open * part };
}

/** @param sign −1: taken away again, never below nothing */
function added(one: FoundSum, more: FoundSum, sign: 1 | -1 = 1): FoundSum {
  return {
    all: Math.max(0, one.all + sign * more.all),
    short: Math.max(0, one.short + sign * more.short),
    open: Math.max(0, one.open + sign * more.open),
  };
}

interface Beside {
  readonly found: FoundSum;
  readonly expected: number;
}

/** The same for a duty, from what its kind did in all other duties. */
function dutyFactor(kind: Beside, duty: Beside): number {
  const elsewhere = Math.max(0, kind.found.all - duty.found.all);
  const before = kindFactor(elsewhere, Math.max(0, kind.expected - duty.expected));
  const factor = (DUTY_STRENGTH + duty.found.all) / (DUTY_STRENGTH / before + duty.expected);
  return Math.min(Math.max(factor, 1 / MOST_KIND_FACTOR), MOST_KIND_FACTOR);
}

/** Dirichlet over what a failure leaves, with two ways. */
function shareAfter(share: number, { short, open }: FoundSum, strength: number): number {
  return (strength * share + short) / (strength + short + open);
}

function rounded(value: number): number {
  return Number(value.toPrecision(3));
}

function sum(values: Iterable<number>): number {
  let total = 0;
  for (const value of values) total += value;
  return total;
}
