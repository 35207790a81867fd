import { dutyOf } from '../board/duty.ts';
import type { Board, Part, Pin } from '../board/model.ts';
import type { Evidence } from './evidence.ts';

/**
 * What past boards teach of this one: factors on the chances that the handbooks give. By names, since
 * numbers change when a board file grows. What is not named in it stays as it is.
 */
export interface Learnt {
  /** By part: in place of what its kind has. */
  readonly parts: ReadonlyMap<string, ModeFactors>;
  /** By what a part is there for, as `dutyOf` tells it: in place of what its kind has. */
  readonly duties: ReadonlyMap<string, ModeFactors>;
  /** By kind; and that of all others. */
  readonly kinds: ReadonlyMap<string, ModeFactors>;
  readonly otherKinds: number;
  /** By pin, `Q1.D`: factor on the chance that its joint is open; and that of all others. */
  readonly joints: ReadonlyMap<string, number>;
  readonly otherJoints: number;
  /** By bank: factor on the chance of a failure that takes several of its parts; and that of all others. */
  readonly banks: ReadonlyMap<string, number>;
  readonly otherBanks: number;
  /** Two that went together, each a part of no bank or a whole bank, and the chance of it on one board. */
  readonly together: readonly {
    readonly units: readonly [string, string];
    readonly chance: number;
  }[];
  /**
   * Where something was found already: further failures, as a share of those that chances by themselves would
   * have. 1: finding one says nothing of others.
   */
  readonly further: number;
  /** For people: by part, on how many of the last boards of this model it was found failed. */
  readonly past: { readonly boards: number; readonly failed: ReadonlyMap<string, number> };
}

/** Times likelier than by the handbooks, by what the failure leaves: a short, or a way that is missing. */
export interface ModeFactors {
  readonly short: number;
  readonly open: number;
}

/** Most that past boards can make one part's failed modes together: no part fails for certain. */
export const MOST_LEARNT = 0.8;
const AS_LISTED: ModeFactors = { short: 1, open: 1 };

export function partFactors(learnt: Learnt | undefined, board: Board, part: Part): ModeFactors {
  if (learnt === undefined) return AS_LISTED;
  const { parts, duties, kinds, otherKinds } = learnt;
  return (
    parts.get(part.name) ??
    (duties.size === 0 ? undefined : duties.get(dutyOf(board, part))) ??
    kinds.get(part.kind.name) ?? { short: otherKinds, open: otherKinds }
  );
}

/** What fails as one where parts are counted together: a part's bank, else the part itself. */
export function unitOf({ name, bank }: Pick<Part, 'name' | 'bank'>): string {
  return bank === undefined ? name : `bank ${bank}`; // no part's name has a space in it
}

export function jointFactor(learnt: Learnt | undefined, board: Board, pin: Pin): number {
  if (learnt === undefined) return 1;
  return learnt.joints.get(jointName(board, pin)) ?? learnt.otherJoints;
}

export function bankFactor(learnt: Learnt | undefined, bank: string): number {
  return learnt?.banks.get(bank) ?? learnt?.otherBanks ?? 1;
}

/**
 * What the failures nobody has read for yet are to be counted with: less once a new piece went in, on boards
 * that carry one failure as a rule.
 */
export function furtherFactor(
  learnt: Learnt | undefined,
  { replacedAt }: Pick<Evidence, 'replacedAt'>,
): number {
  return learnt === undefined || replacedAt.size === 0 ? 1 : learnt.further;
}

/** `Q1.D`. */
export function jointName({ parts }: Board, { part, name }: Pin): string {
  return `${parts[part]?.name}.${name}`;
}
