/** What the memory makes of a board, as plain data: a job's opening keeps it, so that a job concludes the same anywhere. */
import type { Learnt, ModeFactors } from '../../faults/learnt.ts';
import type { LearntMinutes } from './bench-pace.ts';

/** Factors on the chances of the handbooks: one, or one for shorts and one for opens. */
export type FactorFigure = number | readonly [short: number, open: number];

export interface MemoryFigures {
  /** The last boards of this model that were looked back on; 0: what is known comes from other models. */
  readonly boards: number;
  /** By part: on how many of those it was found failed. */
  readonly failed?: Readonly<Record<string, number>>;
  readonly kinds?: Readonly<Record<string, FactorFigure>>;
  /** Of kinds that are not named. */
  readonly 'other-kinds'?: number;
  /** What parts are there for, where its factor is not that of their kind. */
  readonly duties?: Readonly<Record<string, FactorFigure>>;
  /** Parts whose factor is that of neither. */
  readonly parts?: Readonly<Record<string, FactorFigure>>;
  readonly joints?: Readonly<Record<string, number>>;
  readonly 'other-joints'?: number;
  readonly banks?: Readonly<Record<string, number>>;
  readonly 'other-banks'?: number;
  /** Two that go together, each a part of no bank or a bank (`bank NAME`), and the chance that both do. */
  readonly together?: readonly (readonly [string, string, number])[];
  /** Further failures where one was found, beside what chances by themselves would have. */
  readonly further?: number;
  /** Bench times as they really are, min, by action. */
  readonly minutes?: LearntMinutes;
  /** The same of single technicians, by {@link handKey}. */
  readonly hands?: Readonly<Record<string, LearntMinutes>>;
}

/** Figures as the reasoning takes them. */
export function learntFrom(figures: MemoryFigures): Learnt {
  const { kinds, duties, parts, joints, banks, together = [] } = figures;
  return {
    duties: factorsOf(duties),
    kinds: factorsOf(kinds),
    otherKinds: figures['other-kinds'] ?? 1,
    parts: factorsOf(parts),
    joints: new Map(Object.entries(joints ?? {})),
    otherJoints: figures['other-joints'] ?? 1,
    banks: new Map(Object.entries(banks ?? {})),
    otherBanks: figures['other-banks'] ?? 1,
    further: figures.further ?? 1,
    past: { boards: figures.boards, failed: new Map(Object.entries(figures.failed ?? {})) },
    together: together.map(([one, other, chance]) => ({ units: [one, other], chance })),
  };
}

function factorsOf(figures: MemoryFigures['kinds'] = {}): Map<string, ModeFactors> {
  return new Map(
    Object.entries(figures).map(([name, figure]) => {
      const [short, open] = typeof figure === 'number' ? [figure, figure] : figure;
      return [name, { short, open }];
    }),
  );
}

/** Data of a record as figures; undefined when it is none: written by a newer version, or by hand. */
export function figuresFrom(kept: unknown): MemoryFigures | undefined {
  if (!isMap(kept)) return undefined;
  const checks: Readonly<Record<string, (value: unknown) => boolean>> = {
    boards: isCount,
    failed: (value) => isMapOf(value, isCount),
    kinds: (value) => isMapOf(value, isFactor),
    'other-kinds': isPositive,
    duties: (value) => isMapOf(value, isFactor),
    parts: (value) => isMapOf(value, isFactor),
    joints: (value) => isMapOf(value, isPositive),
    'other-joints': isPositive,
    banks: (value) => isMapOf(value, isPositive),
    'other-banks': isPositive,
    together: (value) => Array.isArray(value) && value.every(isTogether),
    further: isPositive,
    minutes: (value) => isMapOf(value, isPositive),
    hands: (value) => isMapOf(value, (one) => isMapOf(one, isPositive)),
  };
  const fits = Object.entries(kept).every(([key, value]) => checks[key]?.(value) === true);
  return fits && 'boards' in kept ? (kept as unknown as MemoryFigures) : undefined;
}

function isMap(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

function isMapOf(value: unknown, fits: (one: unknown) => boolean): boolean {
  return isMap(value) && Object.values(value).every(fits);
}

function isPositive(value: unknown): boolean {
  return typeof value === 'number' && Number.isFinite(value) && value > 0;
}

function isCount(value: unknown): boolean {
  return Number.isInteger(value) && (value as number) >= 0;
}

function isFactor(value: unknown): boolean {
  return (
    isPositive(value) || (Array.isArray(value) && value.length === 2 && value.every(isPositive))
  );
}

function isTogether(value: unknown): boolean {
  if (!Array.isArray(value) || value.length !== 3) return false;
  const [one, other, chance] = value as unknown[];
  return typeof one === 'string' && typeof other === 'string' && isPositive(chance);
}
