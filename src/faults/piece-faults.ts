import type { Board } from '../board/model.ts';
import { netOf } from '../circuit/circuit.ts';
import type { PartMode } from '../circuit/elements.ts';
import { type BoardState, netPairKey } from '../circuit/state.ts';
import { actsOn, type Fault, type FaultBranch, type Member } from './fault.ts';
import type { OwnEvidence } from './own-evidence.ts';
import { type ModeSources, pieceModes, type SearchedMode } from './piece-modes.ts';
import type { FaultSettings } from './settings.ts';

/** A failed mode of one piece, before pieces that nothing tells apart are merged. */
export interface Draft {
  readonly part: number;
  /** Which of the modes of its piece it is. */
  readonly mode: SearchedMode;
  readonly piece: number;
  readonly bank: number;
  readonly chance: readonly [number, number];
}

/** The failed modes of one piece with their chances, updated by what is known of the piece alone. */
export function pieceDrafts(
  sources: ModeSources,
  part: number,
  piece: number,
  bank: number,
  known?: OwnEvidence,
): Draft[] {
  const { modes, chances: alone } = pieceModes(sources, part, piece);
  const chances = modeChances(modes, alone, bank, known, sources.settings);
  return modes.map((mode, k) => {
    const chance = chances[k] as readonly [number, number];
    return { part, mode, piece, bank, chance };
  });
}

/** A bank's chance of a failure that takes several, once something is known of one of its pieces. */
export function updateBank(
  bankChance: Float64Array,
  bank: number,
  { fit }: Pick<OwnEvidence, 'fit'>,
): void {
  const q = bankChance[bank] as number;
  bankChance[bank] = (q * fit[1]) / ((1 - q) * fit[0] + q * fit[1]);
}

/**
 * Equal for failed modes that nothing tells apart.
 * @param isSingled something is known of the piece alone
 * @param states those that may tell touched parts apart; none for a part that nobody has touched
 */
export function classKey(
  board: Board,
  { part, mode, piece, bank }: Draft,
  isSingled: boolean,
  states: readonly BoardState[],
): string {
  if (isSingled || mode.opens || mode.junctions !== undefined) {
    if (mode.joins.length === 0 && mode.netJoins === undefined)
      return `${part}:${piece}:${mode.name}:`;
    const joins = branchesOf(board, mode).map(({ pinA, pinB, ohms }) => `${pinA}-${pinB}@${ohms}`);
    return `${part}:${piece}:${mode.name}:${joins}`;
  }
  let nets = '';
  mode.joins.forEach(({ a, b, ohms }) => {
    nets += `${netPairKey(netOf(board, a), netOf(board, b))}@${ohms},`;
  });
  mode.netJoins?.forEach(({ pin, net, ohms }) => {
    nets += `${netPairKey(netOf(board, pin), net)}@${ohms},`;
  });
  const kind = board.parts[part]?.kind.name;
  const presence =
    states.length === 0
      ? ''
      : presenceKey({ part, mode, piece, branches: branchesOf(board, mode) }, states);
  return `${kind}/${mode.name}/${nets}/${presence}/${bank}/${piece > 0 ? 'new' : ''}`;
}

/** In which of the states met so far the fault has a part in the circuit. */
function presenceKey(
  { part, mode, piece, branches }: Pick<Draft, 'part' | 'mode' | 'piece'> & Pick<Fault, 'branches'>,
  states: readonly BoardState[],
): string {
  const fault: Fault = {
    id: -1,
    what: 'part',
    mode: mode.name,
    members: [{ part, chance: [0, 0] }],
    piece,
    branches,
    spread: mode.spread,
    opensPart: mode.opens,
    pin: -1,
    chance: [0, 0],
    group: -1,
    bank: -1,
  };
  return states.map((state) => (actsOn(fault, state) ? '1' : '0')).join('');
}

/** One fault for failed modes that nothing tells apart; what it does is told by the first of them. */
export function merge(
  board: Board,
  first: Draft,
  members: readonly Member[],
  id: number,
  group: number,
): Fault {
  const { mode, piece, bank } = first;
  const fault: Fault = {
    id,
    what: 'part',
    mode: mode.name,
    members,
    piece,
    branches: branchesOf(board, mode),
    spread: mode.spread,
    opensPart: mode.opens,
    pin: -1,
    chance: chanceOfAny(members),
    group,
    bank,
  };
  return mode.junctions === undefined ? fault : { ...fault, junctions: mode.junctions };
}

/** That at least one of them has failed so. */
function chanceOfAny(members: readonly Member[]): Member['chance'] {
  const [only] = members;
  if (members.length === 1 && only !== undefined) return only.chance;
  let alone = 1;
  let jointly = 1;
  for (let k = 0; k < members.length; k++) {
    const { chance } = members[k] as Member;
    alone *= 1 - chance[0];
    jointly *= 1 - chance[1];
  }
  return [1 - alone, 1 - jointly];
}

function branchesOf(board: Board, { joins, netJoins }: PartMode): readonly FaultBranch[] {
  if (joins.length === 0 && netJoins === undefined) return NONE;
  const own = joins.map(({ a, b, ohms }) => {
    return { a: netOf(board, a), b: netOf(board, b), ohms, pinA: a, pinB: b };
  });
  if (netJoins === undefined) return own;
  const toNets = netJoins.map(({ pin, net, ohms }) => {
    return { a: netOf(board, pin), b: net, ohms, pinA: pin, pinB: -1 };
  });
  return [...own, ...toNets];
}

const NONE: readonly never[] = [];

function modeChances(
  modes: readonly SearchedMode[],
  alone: readonly number[],
  bank: number,
  known: OwnEvidence | undefined,
  settings: FaultSettings,
): (readonly [number, number])[] {
  if (bank < 0 && known === undefined) return alone.map((p) => [p, p]);
  const shorting = modes.map((mode) => (isShort(mode) ? mode.share : 0));
  const sum = shorting.reduce((a, b) => a + b, 0);
  const together =
    bank >= 0 && sum > 0
      ? shorting.map((share) => (settings.bankMemberChance * share) / sum)
      : alone;
  const update = (chance: readonly number[]): number[] => {
    if (known === undefined) return [...chance];
    const rest = 1 - chance.reduce((a, b) => a + b, 0);
    const weights = chance.map((p, k) => p * (known.modes[k] as number));
    const total = rest * known.healthy + weights.reduce((a, b) => a + b, 0);
    return weights.map((w) => w / total);
  };
  const first = update(alone);
  const second = update(together);
  return first.map((p, k) => [p, second[k] as number] as const);
}

/** What takes several parts of a bank at once leaves shorts; other ohms have other causes. */
function isShort({ joins, junctions }: SearchedMode): boolean {
  return joins.length > 0 && junctions === undefined;
}
