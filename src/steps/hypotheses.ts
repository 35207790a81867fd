import type { BoardState } from '../circuit/state.ts';
import type { Beliefs } from '../faults/beliefs.ts';
import { concernsPresentPiece, type Fault } from '../faults/fault.ts';
import type { StepSettings } from './settings.ts';

/** One thing to put right: parts to renew together, a joint, a bridge, a break in copper. */
export interface RepairUnit {
  readonly key: string;
  readonly what: Fault['what'];
  /** Parts renewed; when `choice`, just one of them, not known which. */
  readonly parts: readonly number[];
  readonly choice: boolean;
  /** Every one of the parts has to come off the board if this unit is to be put right. */
  readonly comesOff: boolean;
  readonly pin?: number;
  readonly nets?: readonly [number, number];
  readonly fault: number;
}

/** One explanation as a plan of repair. */
export interface Hypothesis {
  readonly weight: number;
  readonly faults: readonly number[];
  /** Those of them that some reading asks for. */
  readonly accused: readonly number[];
  /** What would have to be put right on the board as it is. */
  readonly units: readonly RepairUnit[];
  /** Equal for hypotheses that call for the same repair. */
  readonly key: string;
  /** ln of the number of ways to choose the parts not told apart. */
  readonly choiceEntropy: number;
}

/** Most explanations that steps are scored on; the rest carry little weight. */
const MOST_HYPOTHESES = 60;

/** The explanations as repairs, heaviest first, weights summing to 1. */
export function hypothesesOf(
  beliefs: Beliefs,
  state: BoardState,
  settings: StepSettings,
): Hypothesis[] {
  const top = accusations(beliefs).slice(0, MOST_HYPOTHESES);
  const total = top.reduce((sum, { weight }) => sum + weight, 0) || 1;
  return top.map(({ weight, faults, accused }) => {
    const units = repairUnits(beliefs, accused, state, settings);
    return {
      weight: weight / total,
      faults,
      accused,
      units,
      key: units
        .map((unit) => unit.key)
        .sort()
        .join('+'),
      choiceEntropy: units.reduce((sum, u) => sum + (u.choice ? Math.log(u.parts.length) : 0), 0),
    };
  });
}

/** Explanations by what they accuse, with the other faults of the heaviest of each. */
function accusations({ explanations }: Beliefs): Accusation[] {
  const found = new Map<string, Accusation>();
  for (const { accused, faults, weight } of explanations) {
    const key = [...accused].sort((x, y) => x - y).join(' ');
    const held = found.get(key);
    if (held === undefined) found.set(key, { accused, faults, weight });
    else held.weight += weight;
  }
  return [...found.values()].sort((x, y) => y.weight - x.weight);
}

interface Accusation extends Pick<Hypothesis, 'accused' | 'faults'> {
  weight: number;
}

function repairUnits(
  beliefs: Beliefs,
  faults: readonly number[],
  state: BoardState,
  settings: StepSettings,
): RepairUnit[] {
  const units = new Map<string, RepairUnit>();
  for (const id of faults) {
    const fault = beliefs.problem.universe.faults[id] as Fault;
    if (!concernsPresentPiece(fault, state)) continue;
    const unit = unitOf(beliefs, fault, state, settings);
    units.set(unit.key, unit);
  }
  return [...units.values()];
}

/** What putting one fault right takes. */
export function unitOf(
  beliefs: Beliefs,
  fault: Fault,
  state: BoardState,
  settings: StepSettings,
): RepairUnit {
  const parts = fault.members.map((member) => member.part);
  if (fault.what === 'joint') {
    return {
      key: `joint:${fault.pin}`,
      what: 'joint',
      parts,
      choice: false,
      comesOff: false,
      pin: fault.pin,
      fault: fault.id,
    };
  }
  if (fault.what !== 'part') {
    const nets = fault.nets as readonly [number, number];
    return {
      key: `${fault.what}:${nets.join('-')}`,
      what: fault.what,
      parts: [],
      choice: false,
      comesOff: false,
      nets,
      fault: fault.id,
    };
  }
  const bank = bankOf(beliefs, fault);
  if (bank !== undefined && settings.replaceBanksAsSets) {
    const members = bankMembers(beliefs, bank, state);
    return {
      key: `bank:${fault.bank}`,
      what: 'part',
      parts: members,
      choice: false,
      comesOff: true,
      fault: fault.id,
    };
  }
  const choice = parts.length > 1;
  return {
    key: `part:${parts.join(',')}`,
    what: 'part',
    parts,
    choice,
    comesOff: true,
    fault: fault.id,
  };
}

/**
 * The bank that is renewed with a part as a set; none of a part that past boards tie to others and that is in
 * no bank: it goes with them often, and need not be renewed with them.
 */
function bankOf({ problem }: Beliefs, { bank, members }: Fault): string | undefined {
  const { parts } = problem.circuit.board;
  const own = bank < 0 ? undefined : parts[members[0]?.part ?? -1]?.bank;
  return members.every(({ part }) => parts[part]?.bank === own) ? own : undefined;
}

/** The bank's parts that have not been renewed yet. */
function bankMembers({ problem }: Beliefs, bank: string, state: BoardState): number[] {
  return problem.circuit.board.parts
    .filter((part) => part.bank === bank && (state.piece.get(part.index) ?? 0) === 0)
    .map((part) => part.index);
}

/** Entropy, nats, of which repair is called for, parts not told apart included. */
export function repairEntropy(
  rows: readonly {
    readonly weight: number;
    readonly key: string;
    readonly choiceEntropy: number;
  }[],
): number {
  const byKey = new Map<string, number>();
  let total = 0;
  let inside = 0;
  for (const { weight, key, choiceEntropy } of rows) {
    byKey.set(key, (byKey.get(key) ?? 0) + weight);
    total += weight;
    inside += weight * choiceEntropy;
  }
  if (total <= 0) return 0;
  let entropy = inside / total;
  for (const weight of byKey.values()) {
    const p = weight / total;
    if (p > 0) entropy -= p * Math.log(p);
  }
  return entropy;
}
