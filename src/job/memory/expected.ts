import type { Board } from '../../board/model.ts';
import type { Bench } from '../../faults/diagnose.ts';
import { priorsOf } from '../../faults/priors.ts';
import { DEFAULT_FAULT_SETTINGS } from '../../faults/settings.ts';

/** Failures that the handbooks expect on one board, by kind; joints and banks beside them. */
export interface Expected {
  readonly kinds: Readonly<Record<string, number>>;
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
  for (const { index, kind } of board.parts) {
    const sum = (modes[index] ?? new Float64Array()).reduce((total, p) => total + p, 0);
    if (sum > 0) kinds.set(kind.name, (kinds.get(kind.name) ?? 0) + sum);
  }
  const made = {
    kinds: Object.fromEntries([...kinds].map(([kind, sum]) => [kind, Number(sum.toPrecision(4))])),
    joints: Number(joint.reduce((total, p) => total + p, 0).toPrecision(4)),
    banks: Number(banks.reduce((total, { chance }) => total + chance, 0).toPrecision(4)),
  };
  held.set(board, made);
  return made;
}
