import { dutyOf } from '../../board/duty.ts';
import type { Board } from '../../board/model.ts';
import type { Bench } from '../../faults/diagnose.ts';
import { priorsOf } from '../../faults/priors.ts';
import { DEFAULT_FAULT_SETTINGS } from '../../faults/settings.ts';

/** Failures that the handbooks expect on one board, by kind; joints and banks beside them. */
export interface Expected {
  readonly kinds: Readonly<Record<string, number>>;
  /** By what parts are there for, as {@link dutyOf} tells it. */
  readonly duties: Readonly<Record<string, number>>;
  readonly joints: number;
  /** Failures that take several parts of a bank. */
  readonly banks: number;
}

const held = new WeakMap<Board, Expected>();

/** By the defaults, whatever the shop doubts, so that jobs of all times can be added up. */
export function expectedOn(board: Board, { circuit }: Bench): Expected {
  const known = held.get(board);
  if (known !== undefined) return known;
  const { modes, joint, banks } = priorsOf(circuit, DEFAULT_FAULT_SETTINGS);
  const kinds = new Map<string, number>();
  const duties = new Map<string, number>();
  for (const part of board.parts) {
    const sum = (modes[part.index] ?? new Float64Array()).reduce((total, p) => total + p, 0);
    if (!(sum > 0)) continue;
    const duty = dutyOf(board, part);
    kinds.set(part.kind.name, (kinds.get(part.kind.name) ?? 0) + sum);
    duties.set(duty, (duties.get(duty) ?? 0) + sum);
  }
  const made = {
    kinds: figures(kinds),
    duties: figures(duties),
    joints: Number(joint.reduce((total, p) => total + p, 0).toPrecision(4)),
    banks: Number(banks.reduce((total, { chance }) => total + chance, 0).toPrecision(4)),
  };
  held.set(board, made);
  return made;
}

function figures(sums: ReadonlyMap<string, number>): Record<string, number> {
  return Object.fromEntries([...sums].map(([name, sum]) => [name, Number(sum.toPrecision(4))]));
}
