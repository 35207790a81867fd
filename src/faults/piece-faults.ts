import type { Board } from '../board/model.ts';
import { netOf } from '../circuit/circuit.ts';
import type { PartMode } from '../circuit/elements.ts';
import { type BoardState, netPairKey } from '../circuit/state.ts';
import { actsOn, type Fault, type FaultBranch, type Member } from './fault.ts';
import type { OwnEvidence } from './own-evidence.ts';
import { type ModeSources, pieceModes, type SearchedMode } from './piece-modes.ts';
import type { FaultSettings } from './settings.ts';

/** A failed mode of one piece, before pieces that nothing tells apart are merged. */
export interface Draft extends Omit<Fault, 'id' | 'group' | 'chance' | 'members'> {
  readonly part: number;
  readonly chance: readonly [number, number];
}

/** What the faults of pieces are made from. */
export interface PieceSources extends ModeSources {
  readonly own: ReadonlyMap<string, OwnEvidence>;
  /** States of the board met so far. */
  readonly states: readonly BoardState[];
  /** Parts that some state has touched. */
  readonly touched: ReadonlySet<number>;
  /** By part: how often it was renewed. */
  readonly renewed: ReadonlyMap<number, number>;
  /** By part: its modes where nothing is known of it and nothing touched it; filled in as they are met. */
  readonly plain: (Plain | undefined)[];
}

/** The failed modes of a part that nobody has touched, read or looked at; the same for every universe of a board. */
export interface Plain {
  readonly drafts: readonly Draft[];
  readonly keys: readonly string[];
}

/**
 * The failed modes of all pieces, parts that nothing tells apart merged.
 * @returns the faults, numbered from 0, and by bank the chance of a failure that takes several
 */
export function pieceFaults(sources: PieceSources): {
  faults: Fault[];
  bankChance: Float64Array;
  groupCount: number;
} {
  const { circuit, priors, own, touched, states, asked } = sources;
  const bankOf = new Map<number, number>();
  priors.banks.forEach((bank, k) => {
    for (const part of bank.parts) bankOf.set(part, k);
  });
  const bankChance = Float64Array.from(priors.banks, (bank) => bank.chance);
  const classes = new Map<string, Draft[]>();
  const take = (draft: Draft, key: string): void => {
    const held = classes.get(key);
    if (held === undefined) classes.set(key, [draft]);
    else held.push(draft);
  };
  const singled = partsWithKnownJoints(circuit.board, own);
  for (const { part } of circuit.models) {
    const pieces = sources.renewed.get(part) ?? 0;
    const isPlain = !touched.has(part) && !singled.has(part) && !asked.has(part);
    if (isPlain && pieces === 0 && !own.has(`${part}:0`)) {
      const { drafts, keys } = plainOf(sources, part, bankOf.get(part) ?? -1);
      for (let k = 0; k < drafts.length; k++) take(drafts[k] as Draft, keys[k] as string);
      continue;
    }
    for (let piece = 0; piece <= pieces; piece++) {
      const bank = piece === 0 ? (bankOf.get(part) ?? -1) : -1;
      const known = own.get(`${part}:${piece}`);
      if (known !== undefined && bank >= 0) updateBank(bankChance, bank, known);
      for (const draft of pieceDrafts(sources, part, piece, bank, known)) {
        const isSingled = known !== undefined || singled.has(part);
        take(draft, classKey(circuit.board, draft, isSingled, touched.has(part) ? states : []));
      }
    }
  }
  return { ...number(classes), bankChance };
}

function plainOf(sources: PieceSources, part: number, bank: number): Plain {
  const { plain, circuit } = sources;
  let known = plain[part];
  if (known === undefined) {
    const drafts = pieceDrafts(sources, part, 0, bank, undefined);
    known = { drafts, keys: drafts.map((draft) => classKey(circuit.board, draft, false, [])) };
    plain[part] = known;
  }
  return known;
}

/** Parts with a joint somebody has looked at: no longer like their neighbours. */
function partsWithKnownJoints(board: Board, own: PieceSources['own']): Set<number> {
  const parts = new Set<number>();
  for (const key of own.keys()) {
    const [what, pin] = key.split(':');
    if (what === 'joint') parts.add(board.pins[Number(pin)]?.part ?? -1);
  }
  return parts;
}

function updateBank(bankChance: Float64Array, bank: number, { fit }: OwnEvidence): void {
  const q = bankChance[bank] as number;
  bankChance[bank] = (q * fit[1]) / ((1 - q) * fit[0] + q * fit[1]);
}

/** Modes of one piece exclude each other and share a group; a merged class is a group by itself. */
function number(classes: ReadonlyMap<string, readonly Draft[]>): {
  faults: Fault[];
  groupCount: number;
} {
  const faults: Fault[] = [];
  const groups = new Map<string, number>();
  let groupCount = 0;
  for (const drafts of classes.values()) {
    const first = drafts[0] as Draft;
    const piece = `${first.part}:${first.piece}`;
    let group = drafts.length > 1 ? undefined : groups.get(piece);
    if (group === undefined) {
      group = groupCount++;
      if (drafts.length === 1) groups.set(piece, group);
    }
    faults.push(merge(drafts, faults.length, group));
  }
  return { faults, groupCount };
}

/** The failed modes of one piece with their chances, updated by what is known of the piece alone. */
function pieceDrafts(
  sources: PieceSources,
  part: number,
  piece: number,
  bank: number,
  known: OwnEvidence | undefined,
): Draft[] {
  const { board } = sources.circuit;
  const { modes, chances: alone } = pieceModes(sources, part, piece);
  const chances = modeChances(modes, alone, bank, known, sources.settings);
  return modes.map((mode, k) => ({
    part,
    what: 'part',
    mode: mode.name,
    piece,
    branches: branchesOf(board, mode),
    spread: mode.spread,
    opensPart: mode.opens,
    ...(mode.junctions === undefined ? {} : { junctions: mode.junctions }),
    pin: -1,
    bank,
    chance: chances[k] as readonly [number, number],
  }));
}

function branchesOf(board: Board, { joins, netJoins = [] }: PartMode): FaultBranch[] {
  return [
    ...joins.map(({ a, b, ohms }) => {
      return { a: netOf(board, a), b: netOf(board, b), ohms, pinA: a, pinB: b };
    }),
    ...netJoins.map(({ pin, net, ohms }) => {
      return { a: netOf(board, pin), b: net, ohms, pinA: pin, pinB: -1 };
    }),
  ];
}

function modeChances(
  modes: readonly SearchedMode[],
  alone: readonly number[],
  bank: number,
  known: OwnEvidence | undefined,
  settings: FaultSettings,
): (readonly [number, number])[] {
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

function classKey(
  board: Board,
  draft: Draft,
  isSingled: boolean,
  states: readonly BoardState[],
): string {
  if (isSingled || draft.opensPart || draft.junctions !== undefined) {
    const joins = draft.branches.map(({ pinA, pinB, ohms }) => `${pinA}-${pinB}@${ohms}`);
    return `${draft.part}:${draft.piece}:${draft.mode}:${joins}`;
  }
  let nets = '';
  for (const { a, b, ohms } of draft.branches) nets += `${netPairKey(a, b)}@${ohms},`;
  const presence = states.length === 0 ? '' : presenceKey(draft, states);
  const kind = board.parts[draft.part]?.kind.name;
  return `${kind}/${draft.mode}/${nets}/${presence}/${draft.bank}/${draft.piece > 0 ? 'new' : ''}`;
}

/** In which of the states met so far the fault has a part in the circuit. */
function presenceKey(draft: Draft, states: readonly BoardState[]): string {
  const members = [{ part: draft.part, chance: draft.chance }];
  const fault: Fault = { ...draft, members, id: -1, group: -1 };
  return states.map((state) => (actsOn(fault, state) ? '1' : '0')).join('');
}

function merge(drafts: readonly Draft[], id: number, group: number): Fault {
  const first = drafts[0] as Draft;
  const members: Member[] = drafts.map(({ part, chance }) => ({ part, chance }));
  const none = drafts.reduce(
    (rest, { chance }) => [rest[0] * (1 - chance[0]), rest[1] * (1 - chance[1])] as const,
    [1, 1] as readonly [number, number],
  );
  const { part: _part, ...rest } = first;
  return { ...rest, id, group, members, chance: [1 - none[0], 1 - none[1]] };
}
