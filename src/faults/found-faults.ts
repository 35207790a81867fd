import type { Board, Pin } from '../board/model.ts';
import { netOf } from '../circuit/circuit.ts';
import { AS_FOUND } from '../circuit/state.ts';
import { actsOn, type Fault, type Member } from './fault.ts';
import { FaultLists, type Numbering } from './fault-lists.ts';
import { FoundJoints } from './loose-faults.ts';
import { classKey, type Draft, merge, pieceDrafts } from './piece-faults.ts';
import type { ModeSources } from './piece-modes.ts';
import { withRoom } from './roomy.ts';
import { type ShortTable, tableOf } from './short-table.ts';
import type { Universe } from './universe.ts';

/** The faults of a board that nobody has touched, read or looked at. */
export interface FoundFaults {
  readonly universe: Universe;
  readonly numbering: Numbering;
  /** By number of a mode: that of the fault it belongs to. */
  readonly leader: Int32Array;
  /** By number of a fault of several: the numbers of their modes, itself first. */
  readonly alike: ReadonlyMap<number, readonly number[]>;
  /** By part: its bank, −1 where it is in none. */
  readonly bankOf: Int32Array;
}

/** Lists them, alike parts merged; once for a board. */
export function foundFaults(sources: ModeSources): FoundFaults {
  const { circuit, priors } = sources;
  const { board, models } = circuit;
  const bankOf = banksOf(sources);
  const firstOf = new Int32Array(board.parts.length + 1);
  const drafts: Draft[] = [];
  for (const { part } of models) {
    firstOf[part] = drafts.length;
    for (const draft of pieceDrafts(sources, part, 0, bankOf[part] as number)) drafts.push(draft);
  }
  firstOf[board.parts.length] = drafts.length;
  const joints = drafts.length;
  const numbering = { firstOf, joints, lasting: joints + board.pins.length };
  const leader = new Int32Array(drafts.length);
  const alike = new Map<number, readonly number[]>();
  let groupCount = board.parts.length + board.pins.length;
  const faults = new Array<Fault>(joints + board.pins.length);
  for (let id = 0; id < drafts.length; id++) {
    const { part, chance } = drafts[id] as Draft;
    leader[id] = id;
    faults[id] = merge(board, drafts[id] as Draft, [{ part, chance }], id, part);
  }
  for (const ids of alikeAmong(board, drafts)) {
    const id = ids[0] as number;
    const members = ids.map((k) => (faults[k] as Fault).members[0] as Member);
    faults[id] = merge(board, drafts[id] as Draft, members, id, groupCount++);
    alike.set(id, ids);
    for (const k of ids) leader[k] = id;
    for (const k of ids) if (k !== id) faults[k] = nothing(k, (drafts[k] as Draft).part);
  }
  const joint = new FoundJoints(priors);
  for (let k = 0; k < board.pins.length; k++) {
    const pin = board.pins[k] as Pin;
    faults[joints + k] = joint.fault(pin, joints + pin.index, board.parts.length + pin.index);
  }
  const bankChance = Float64Array.from(priors.banks, ({ chance }) => chance);
  const lists = new FaultLists(board, faults, numbering, leader);
  const universe = indexed(faults, lists, bankChance, groupCount, board.nets.length);
  return { universe, numbering, leader, alike, bankOf };
}

/** Numbers of failed modes that nothing tells apart, two and more together, in the order of the first of each. */
function alikeAmong(board: Board, drafts: readonly Draft[]): (readonly number[])[] {
  const rough = drafts.map((draft) => roughKey(board, draft));
  const counts = new Uint8Array(ROUGH_KEYS); // 2: two or more
  for (const key of rough) if ((counts[key] as number) < 2) counts[key]!++;
  const classes = new Map<string, number[]>();
  drafts.forEach((draft, k) => {
    if (counts[rough[k] as number] === 1) return; // most: to put a key together takes far longer
    const key = classKey(board, draft, false, NONE);
    const held = classes.get(key);
    if (held === undefined) classes.set(key, [k]);
    else held.push(k);
  });
  return [...classes.values()].filter((ids) => ids.length > 1);
}

const ROUGH_KEYS = 1 << 18;

/** Equal where {@link classKey} is, and seldom elsewhere. */
function roughKey(
  board: Board,
  { part, mode: { name, opens, junctions, joins, netJoins } }: Draft,
): number {
  let key = name.length;
  if (opens || junctions !== undefined) key = Math.imul(key ^ part, 0x9e3779b1);
  for (let k = 0; k < joins.length; k++) {
    const { a, b } = joins[k] as (typeof joins)[number];
    const [one, other] = [netOf(board, a), netOf(board, b)];
    key = Math.imul(key ^ Math.min(one, other), 0x85ebca6b);
    key = Math.imul(key ^ Math.max(one, other) ^ (key >>> 15), 0x9e3779b1);
  }
  for (const { pin, net } of netJoins ?? NONE) {
    key = Math.imul(key ^ (netOf(board, pin) + net), 0x85ebca6b);
  }
  return (key ^ (key >>> 15)) & (ROUGH_KEYS - 1);
}

function banksOf({ circuit, priors }: ModeSources): Int32Array {
  const bankOf = new Int32Array(circuit.board.parts.length).fill(-1);
  priors.banks.forEach(({ parts }, bank) => {
    for (const part of parts) bankOf[part] = bank;
  });
  return bankOf;
}

/** What stands at a number that no fault has: never there, and acts nowhere. */
export function nothing(id: number, group: number): Fault {
  return {
    id,
    what: 'part',
    mode: '',
    members: NONE,
    piece: -1,
    branches: NONE,
    spread: 0,
    opensPart: false,
    pin: -1,
    chance: NEVER,
    group,
    bank: -1,
  };
}

const NONE: readonly never[] = [];
const NEVER: readonly [number, number] = [0, 0];

function indexed(
  faults: readonly Fault[],
  lists: FaultLists,
  bankChance: Float64Array,
  groupCount: number,
  netCount: number,
): Universe {
  const count = faults.length;
  const byNet: number[][] = Array.from({ length: netCount }, () => []);
  const ofGroup: number[][] = new Array(groupCount);
  const ofBank: number[][] = Array.from(bankChance, () => []);
  const group = withRoom(Int32Array, count);
  const bank = withRoom(Int32Array, count);
  const alone = withRoom(Float64Array, count);
  const jointly = withRoom(Float64Array, count);
  const before = withRoom(Float64Array, count);
  const actsAsFound = withRoom(Uint8Array, count);
  // With an index, as all of this runs once and a step of an iterator is an object made.
  for (let id = 0; id < count; id++) {
    const fault = faults[id] as Fault;
    group[id] = fault.group;
    bank[id] = fault.bank;
    alone[id] = fault.chance[0];
    jointly[id] = fault.chance[1];
    before[id] = chanceBefore(fault, bankChance);
    actsAsFound[id] = actsOn(fault, AS_FOUND) ? 1 : 0;
    if (fault.members.length === 0) continue;
    if (fault.branches.length > 0) for (const net of netsOf(fault)) byNet[net]?.push(id);
    const held = ofGroup[fault.group];
    if (held === undefined) ofGroup[fault.group] = [id];
    else held.push(id);
    if (fault.bank >= 0) ofBank[fault.bank]?.push(id);
  }
  for (let k = 0; k < groupCount; k++) ofGroup[k] ??= [];
  let shorts: ShortTable | undefined;
  return {
    faults,
    lists,
    byNet,
    group,
    bank,
    alone,
    jointly,
    before,
    likely: likelyAmong(alone, jointly),
    actsAsFound,
    ofGroup,
    ofBank,
    later: [],
    apart: [],
    asFound: () => {
      shorts ??= tableOf(actsAsFound.keys(), (id) => {
        return actsAsFound[id] === 1 ? (faults[id] as Fault).branches : NONE;
      });
      return shorts;
    },
    bankChance,
    groupCount,
  };
}

/** Nets that a fault has branches on. */
export function netsOf({ branches }: Pick<Fault, 'branches'>): Iterable<number> {
  const only = branches[0];
  if (branches.length === 1 && only !== undefined)
    return only.a === only.b ? [only.a] : [only.a, only.b];
  return new Set(branches.flatMap(({ a, b }) => [a, b]));
}

/** Chance of a fault before any decision. */
export function chanceBefore({ bank, chance }: Fault, bankChance: Float64Array): number {
  const together = bank < 0 ? 0 : (bankChance[bank] as number);
  return (1 - together) * chance[0] + together * chance[1];
}

const LIKELY_CHANCE = 0.005;

/** Numbers of the faults of at least {@link LIKELY_CHANCE}, in a failure of their bank or out of it. */
export function likelyAmong(alone: Float64Array, jointly: Float64Array): number[] {
  const found: number[] = [];
  for (let id = 0; id < alone.length; id++) {
    if (Math.max(alone[id] as number, jointly[id] as number) >= LIKELY_CHANCE) found.push(id);
  }
  return found;
}
