/**
 * What jobs of the past make of the chances of a board. Three levels: the handbooks, corrected by how they
 * fit the other models of the shop, corrected by the boards of this model. Each level starts as the one
 * above it has it and leaves it as evidence comes in (conjugate priors: Gamma for rates, Beta for shares;
 * Gelman et al., Bayesian Data Analysis, 2.6 and 5).
 */
import type { Board, Part } from '../../board/model.ts';
import type { Circuit } from '../../circuit/circuit.ts';
import { jointName, MOST_LEARNT } from '../../faults/learnt.ts';
import { type Priors, priorsOf } from '../../faults/priors.ts';
import type { FaultSettings } from '../../faults/settings.ts';
import type { BenchTimes } from '../../steps/bench-times.ts';
import { learnMinutes } from './bench-pace.ts';
import type { FactorFigure, MemoryFigures } from './figures.ts';
import type { Lesson } from './lesson.ts';
import { type Past, pastOf } from './past.ts';
import type { MemoryRules } from './rules.ts';
import type { FoundSum, Tally } from './tally.ts';

/** Other models count for a kind as if the handbooks had seen so many failures of it. */
const KIND_STRENGTH = 3;
/** Told shorts and opens that the shares above count for: of a kind, and of one part. */
const KIND_SHARE_STRENGTH = 10;
const PART_SHARE_STRENGTH = 4;
/** How far other models may move a kind. */
const MOST_KIND_FACTOR = 10;
/** Two parts share a cause when they went together at least so often, and so many times oftener than by chance. */
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
  const minutes = learnMinutes(past.timings, times);
  if (past.own.boards + past.others.boards === 0 && Object.keys(minutes).length === 0) {
    return undefined;
  }
  const { learnt: _none, ...plain } = settings;
  const chances = new Chances(circuit, priorsOf(circuit, plain), past, rules);
  return {
    boards: past.last.boards,
    ...filled('failed', past.last.failed),
    ...chances.figures(),
    ...filled('minutes', minutes),
  };
}

function filled<K extends string, V extends object>(key: K, map: V): { [P in K]?: V } {
  return (Object.keys(map).length === 0 ? {} : { [key]: map }) as { [P in K]?: V };
}

/** One board's chances, and what was counted of its model and of the others. */
class Chances {
  readonly #board: Board;
  readonly #circuit: Circuit;
  readonly #priors: Priors;
  readonly #own: Tally;
  readonly #others: Past['others'];
  readonly #strength: number;

  constructor(circuit: Circuit, priors: Priors, { own, others }: Past, { strength }: MemoryRules) {
    this.#board = circuit.board;
    this.#circuit = circuit;
    this.#priors = priors;
    this.#own = own;
    this.#others = others;
    this.#strength = strength;
  }

  figures(): Omit<MemoryFigures, 'boards' | 'failed' | 'minutes'> {
    const together = this.#together();
    const { joints, banks, expected } = this.#others;
    const jointsBefore = kindFactor(sum(joints.values()), expected.joints);
    const banksBefore = kindFactor(sum(banks.values()), expected.banks);
    return {
      ...filled('kinds', this.#kinds()),
      'other-kinds': this.#otherKinds(),
      ...filled('parts', this.#parts(together)),
      ...filled('joints', this.#joints(jointsBefore)),
      'other-joints': rounded(this.#after(1, jointsBefore, 0)),
      ...filled('banks', this.#banks(banksBefore)),
      'other-banks': rounded(this.#after(1, banksBefore, 0)),
      ...(together.length === 0 ? {} : { together }),
    };
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
    const figures = new Map<string, FactorFigure>();
    for (const part of this.#board.parts) {
      const { name } = part.kind;
      if (figures.has(name) || !(this.#chance(part) > 0)) continue;
      figures.set(name, this.#figure(part, NOTHING));
    }
    const other = this.#otherKinds();
    return Object.fromEntries([...figures].filter(([, figure]) => figure !== other));
  }

  #parts(together: NonNullable<MemoryFigures['together']>): Record<string, FactorFigure> {
    const figures = new Map<string, FactorFigure>();
    const boards = this.#strength + this.#own.boards;
    for (const [name, found] of this.#own.parts) {
      const part = this.#board.partNamed.get(name);
      if (part === undefined || !(this.#chance(part) > 0)) continue;
      // What two parts share is counted once.
      const shared = together
        .filter(([one, other]) => one === name || other === name)
        .reduce((total, [, , chance]) => total + (chance * boards) / 2, 0);
      const alone = Math.max(0, found.all - shared);
      figures.set(name, this.#figure(part, { ...found, all: alone }));
    }
    return Object.fromEntries(figures);
  }

  #joints(before: number): Record<string, number> {
    const figures = new Map<string, number>();
    for (const pin of this.#board.pins) {
      const name = jointName(this.#board, pin);
      const found = this.#own.joints.get(name);
      const listed = this.#priors.joint[pin.index] ?? 0;
      if (found !== undefined && listed > 0)
        figures.set(name, rounded(this.#after(listed, before, found)));
    }
    return Object.fromEntries(figures);
  }

  #banks(before: number): Record<string, number> {
    const figures = new Map<string, number>();
    for (const [name, found] of this.#own.banks) {
      const bank = this.#priors.banks.find(
        ({ parts }) => this.#board.parts[parts[0] ?? -1]?.bank === name,
      );
      if (bank !== undefined && bank.chance > 0) {
        figures.set(name, rounded(this.#after(bank.chance, before, found)));
      }
    }
    return Object.fromEntries(figures);
  }

  /** Parts of no bank that went together oftener than chance would have it. */
  #together(): [string, string, number][] {
    const { pairs, parts, boards } = this.#own;
    return [...pairs.values()].flatMap(({ parts: [one, other], count }) => {
      const [a, b] = [one, other].map((name) => this.#board.partNamed.get(name));
      if (a === undefined || b === undefined || a.bank !== undefined || b.bank !== undefined)
        return [];
      const byChance = ((parts.get(one)?.all ?? 0) * (parts.get(other)?.all ?? 0)) / boards;
      if (count < LEAST_TOGETHER || count < TOGETHER_RATIO * byChance) return [];
      // In such a failure each of the two goes with an even chance, so both go in part of them only.
      const chance = (2 * (count - byChance)) / (this.#strength + boards);
      return [[one, other, rounded(Math.min(chance, MOST_LEARNT))] as [string, string, number]];
    });
  }

  /** @param found of this part, on boards of its model */
  #figure(part: Part, found: FoundSum): FactorFigure {
    const { kinds, expected } = this.#others;
    const { name } = part.kind;
    const beside = kinds.get(name) ?? NOTHING;
    const before = kindFactor(beside.all, expected.kinds.get(name) ?? 0);
    const factor = this.#after(this.#chance(part), before, found.all);
    const listed = this.#shortShare(part);
    if (!(listed > 0.001 && listed < 0.999)) return rounded(factor);
    const ofKind = shareAfter(listed, beside, KIND_SHARE_STRENGTH);
    const share = shareAfter(ofKind, found, PART_SHARE_STRENGTH);
    const short = rounded((factor * share) / listed);
    const open = rounded((factor * (1 - share)) / (1 - listed));
    return short === open ? short : [short, open];
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

/** Gamma: how many times oftener a kind failed on other models than the handbooks expect. */
function kindFactor(found: number, expected: number): number {
  const factor = (KIND_STRENGTH + found) / (KIND_STRENGTH + expected);
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
