import type { Board } from '../board/model.ts';
import { type Circuit, LINK_OHMS, netOf } from '../circuit/circuit.ts';
import type { PartMode } from '../circuit/elements.ts';
import { type BoardState, netPairKey, stateKey } from '../circuit/state.ts';
import type { Evidence } from './evidence.ts';
import { actsOn, type Fault, type FaultBranch, type Member } from './fault.ts';
import { type OwnEvidence, ownEvidence } from './own-evidence.ts';
import type { Priors } from './priors.ts';
import type { FaultSettings } from './settings.ts';

/** Every fault the readings could speak of, with its chance before the readings from the pads. */
export interface Universe {
  readonly faults: readonly Fault[];
  /** By net: ids of faults with a branch on it. */
  readonly byNet: readonly (readonly number[])[];
  /** By pin: ids of its joint faults, one for each time it was reflowed and one for as found. */
  readonly jointsOf: ReadonlyMap<number, readonly number[]>;
  /** By part: ids of the faults that open it. */
  readonly opensOf: ReadonlyMap<number, readonly number[]>;
  /** By part: ids of all faults that may mean it. */
  readonly ofPart: ReadonlyMap<number, readonly number[]>;
  /** By bank: chance of a failure that takes several, after looks and leg readings. */
  readonly bankChance: Float64Array;
  readonly groupCount: number;
}

interface Draft extends Omit<Fault, 'id' | 'group' | 'chance' | 'members'> {
  readonly part: number;
  readonly chance: readonly [number, number];
}

/** Builds the faults for what is known so far; parts that nothing tells apart are merged. */
export function buildUniverse(
  circuit: Circuit,
  priors: Priors,
  evidence: Evidence,
  settings: FaultSettings,
): Universe {
  const { board } = circuit;
  const own = ownEvidence(circuit, priors, evidence, settings);
  const states = distinctStates(evidence);
  const bankOf = new Map<number, number>();
  priors.banks.forEach((bank, k) => {
    for (const part of bank.parts) bankOf.set(part, k);
  });
  const bankChance = Float64Array.from(priors.banks, (bank) => bank.chance);
  const faults: Fault[] = [];
  let groupCount = 0;
  const classes = new Map<string, Draft[]>();
  for (const model of circuit.models) {
    const pieces = evidence.state.piece.get(model.part) ?? 0;
    for (let piece = 0; piece <= pieces; piece++) {
      const bank = piece === 0 ? (bankOf.get(model.part) ?? -1) : -1;
      const known = own.get(`${model.part}:${piece}`);
      const drafts = pieceDrafts(circuit, priors, model.part, piece, bank, known, settings);
      if (known !== undefined && bank >= 0) {
        const q = bankChance[bank] as number;
        bankChance[bank] = (q * known.fit[1]) / ((1 - q) * known.fit[0] + q * known.fit[1]);
      }
      for (const draft of drafts) {
        const key = classKey(board, draft, known, states);
        const held = classes.get(key);
        if (held === undefined) classes.set(key, [draft]);
        else held.push(draft);
      }
    }
  }
  const groups = new Map<string, number>();
  for (const drafts of classes.values()) {
    const first = drafts[0] as Draft;
    const group = drafts.length > 1 ? groupCount++ : groupFor(groups, first, () => groupCount++);
    faults.push(merge(drafts, faults.length, group));
  }
  for (const fault of jointFaults(board, priors, evidence, own)) {
    faults.push({ ...fault, id: faults.length, group: groupCount++ });
  }
  for (const fault of copperFaults(evidence, settings)) {
    faults.push({ ...fault, id: faults.length, group: groupCount++ });
  }
  return index(board, faults, bankChance, groupCount);
}

function groupFor(groups: Map<string, number>, draft: Draft, next: () => number): number {
  const key = `${draft.part}:${draft.piece}`;
  let group = groups.get(key);
  if (group === undefined) {
    group = next();
    groups.set(key, group);
  }
  return group;
}

/** The failed modes of one piece with their chances, updated by what is known of the piece alone. */
function pieceDrafts(
  circuit: Circuit,
  priors: Priors,
  part: number,
  piece: number,
  bank: number,
  known: OwnEvidence | undefined,
  settings: FaultSettings,
): Draft[] {
  const { board } = circuit;
  const modes = circuit.models[part]?.modes ?? [];
  const chances = modeChances(
    modes,
    priors.modes[part] as Float64Array,
    piece,
    bank,
    known,
    settings,
  );
  return modes.map((mode, k) => ({
    part,
    what: 'part',
    mode: mode.name,
    piece,
    branches: mode.joins.map(
      (join): FaultBranch => ({
        a: netOf(board, join.a),
        b: netOf(board, join.b),
        ohms: join.ohms,
        pinA: join.a,
        pinB: join.b,
      }),
    ),
    spread: mode.spread,
    opensPart: mode.opens,
    pin: -1,
    bank,
    chance: chances[k] as readonly [number, number],
  }));
}

function modeChances(
  modes: readonly PartMode[],
  prior: Float64Array,
  piece: number,
  bank: number,
  known: OwnEvidence | undefined,
  settings: FaultSettings,
): (readonly [number, number])[] {
  const alone = Array.from(prior, (p) => (piece === 0 ? p : p * settings.newPieceRatio));
  const shorting = modes.map((mode) => (mode.joins.length > 0 ? mode.share : 0));
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

/** States met so far that can tell parts apart, the present one among them. */
function distinctStates(evidence: Evidence): BoardState[] {
  const found = new Map<string, BoardState>();
  for (const reading of evidence.readings) found.set(stateKey(reading.state), reading.state);
  found.set(stateKey(evidence.state), evidence.state);
  return [...found.values()];
}

function classKey(
  board: Board,
  draft: Draft,
  known: OwnEvidence | undefined,
  states: readonly BoardState[],
): string {
  if (known !== undefined || draft.opensPart)
    return `${draft.part}:${draft.piece}:${draft.mode}:${draft.branches[0]?.ohms}:${draft.branches[0]?.pinA}`;
  const nets = draft.branches.map(({ a, b, ohms }) => `${netPairKey(a, b)}@${ohms}`).join(',');
  const probe = {
    ...draft,
    members: [{ part: draft.part, chance: draft.chance }],
    id: -1,
    group: -1,
  };
  const presence = states.map((state) => (actsOn(probe, state) ? '1' : '0')).join('');
  const kind = board.parts[draft.part]?.kind.name;
  return `${kind}/${draft.mode}/${nets}/${presence}/${draft.bank}/${draft.piece > 0 ? 'new' : ''}`;
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

type Loose = Omit<Fault, 'id' | 'group'>;

function jointFaults(
  board: Board,
  priors: Priors,
  evidence: Evidence,
  own: ReadonlyMap<string, OwnEvidence>,
): Loose[] {
  return board.pins.flatMap((pin): Loose[] => {
    const repairs = evidence.state.reflowed.get(pin.index) ?? 0;
    return Array.from({ length: repairs + 1 }, (_, piece): Loose => {
      const base = (priors.joint[pin.index] as number) * (piece === 0 ? 1 : 0.1);
      const factor = own.get(`joint:${pin.index}:${piece}`)?.modes[0] ?? 1;
      const chance = (base * factor) / (1 - base + base * factor);
      return {
        what: 'joint',
        mode: 'joint open',
        members: [{ part: pin.part, chance: [chance, chance] }],
        piece,
        branches: [],
        spread: 0,
        opensPart: false,
        pin: pin.index,
        bank: -1,
        chance: [chance, chance],
      };
    });
  });
}

/** Links the board file may lack, one for each pair read; broken copper, one for each net read at two points. */
function copperFaults(evidence: Evidence, settings: FaultSettings): Loose[] {
  const found = new Map<string, Loose>();
  for (const { red, black, offPart } of evidence.readings) {
    if (offPart !== undefined) continue;
    const pair = netPairKey(red.net, black.net);
    if (found.has(pair)) continue;
    const same = red.net === black.net;
    const repairs = same
      ? (evidence.state.mended.get(red.net) ?? 0)
      : (evidence.state.cleaned.get(pair) ?? 0);
    const looked = evidence.looks.some(
      (look) => look.nets !== undefined && netPairKey(...look.nets) === pair,
    );
    const base = same ? settings.copperChance : settings.linkChance;
    for (let piece = 0; piece <= repairs; piece++) {
      const chance = base * (piece > 0 ? 0.1 : 1) * (looked ? 0.2 : 1);
      found.set(piece === 0 ? pair : `${pair}:${piece}`, {
        what: same ? 'copper' : 'link',
        mode: same ? 'copper open' : 'unlisted link or bridge',
        members: [],
        piece,
        branches: same
          ? []
          : [{ a: red.net, b: black.net, ohms: LINK_OHMS * 5, pinA: -1, pinB: -1 }],
        spread: 1.5,
        opensPart: false,
        pin: -1,
        nets: [red.net, black.net],
        bank: -1,
        chance: [chance, chance],
      });
    }
  }
  return [...found.values()];
}

function index(
  board: Board,
  faults: readonly Fault[],
  bankChance: Float64Array,
  groupCount: number,
): Universe {
  const byNet: number[][] = board.nets.map(() => []);
  const jointsOf = new Map<number, number[]>();
  const opensOf = new Map<number, number[]>();
  const ofPart = new Map<number, number[]>();
  const add = (map: Map<number, number[]>, key: number, id: number): void => {
    const held = map.get(key);
    if (held === undefined) map.set(key, [id]);
    else held.push(id);
  };
  for (const fault of faults) {
    for (const net of new Set(fault.branches.flatMap(({ a, b }) => [a, b])))
      byNet[net]?.push(fault.id);
    if (fault.what === 'joint') add(jointsOf, fault.pin, fault.id);
    for (const { part } of fault.members) {
      add(ofPart, part, fault.id);
      if (fault.opensPart) add(opensOf, part, fault.id);
    }
  }
  return { faults, byNet, jointsOf, opensOf, ofPart, bankChance, groupCount };
}
