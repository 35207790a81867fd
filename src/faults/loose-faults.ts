import type { Pin } from '../board/model.ts';
import { LINK_OHMS } from '../circuit/circuit.ts';
import { isAcrossBoard } from '../circuit/reading.ts';
import { netPairKey } from '../circuit/state.ts';
import type { Evidence } from './evidence.ts';
import type { Fault, Member } from './fault.ts';
import type { Priors } from './priors.ts';
import type { FaultSettings } from './settings.ts';

/** A fault that stands by itself, before it is numbered. */
export type Loose = Omit<Fault, 'id' | 'group'>;

/**
 * An open joint.
 * @param repairs how often it had been reflowed by then
 * @param factor how much likelier what was seen of it is on an open one
 */
export function jointFault(
  { index, part }: Pin,
  priors: Priors,
  repairs: number,
  factor: number,
): Loose {
  const base = (priors.joint[index] as number) * (repairs === 0 ? 1 : 0.1);
  const open = (base * factor) / (1 - base + base * factor);
  const chance = [open, open] as const;
  return {
    what: 'joint',
    mode: 'joint open',
    members: [{ part, chance }],
    piece: repairs,
    branches: NO_BRANCHES,
    spread: 0,
    opensPart: false,
    pin: index,
    bank: -1,
    chance,
  };
}

const NO_BRANCHES: readonly never[] = [];

/**
 * The same for the joints of a board as it came in. A large board has tens of thousands: they share what
 * they have in common.
 */
export class FoundJoints {
  readonly #priors: Priors;
  /** Those of the joint before. */
  #members: readonly Member[] = [];

  constructor(priors: Priors) {
    this.#priors = priors;
  }

  fault({ index, part }: Pin, id: number, group: number): Fault {
    const base = this.#priors.joint[index] as number;
    const open = base / (1 - base + base);
    const last = this.#members[0];
    let chance = last?.chance;
    if (chance === undefined || chance[0] !== open) chance = [open, open];
    if (last?.part !== part || last.chance !== chance) this.#members = [{ part, chance }];
    return {
      id,
      what: 'joint',
      mode: 'joint open',
      members: this.#members,
      piece: 0,
      branches: NO_BRANCHES,
      spread: 0,
      opensPart: false,
      pin: index,
      chance,
      group,
      bank: -1,
    };
  }
}

/** A loose fault with its number, and a group by itself. */
export function numbered(
  { what, mode, members, piece, branches, spread, opensPart, pin, nets, chance, bank }: Loose,
  id: number,
  group: number,
): Fault {
  const fault: Fault = {
    id,
    what,
    mode,
    members,
    piece,
    branches,
    spread,
    opensPart,
    pin,
    chance,
    group,
    bank,
  };
  return nets === undefined ? fault : { ...fault, nets };
}

/** Links the board file may lack, one for each pair read; broken copper, one for each net read at two points. */
export function copperFaults(evidence: Evidence, settings: FaultSettings): Loose[] {
  const found = new Map<string, Loose>();
  for (const reading of evidence.readings) {
    if (!isAcrossBoard(reading)) continue;
    const { red, black } = reading;
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
